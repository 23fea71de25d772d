package medicine

import (
	"strings"
	"sync"
	"unicode"
)

// Words around names, as they are compared. Languages are those of the names: English, Spanish, French, German,
// Italian, Portuguese, Polish, Russian, Arabic. Common practice, no source.

// kind is what a word is beside a name; a word may be of several.
type kind uint8

const (
	before        kind = 1 << iota // stands before what a medicine is for
	perhapsBefore                  // stands before that, and before times as well: "per day"
	accompanying                   // joins a name to a meal as well as to another name
	purposeWord                    // what medicines are often said to be for, and words that go with it
	local                          // a route that reaches skin, eye, nose or airway
	systemic                       // a route or form that reaches the whole body
	connecting                     // a word in a sentence, a salt, the make of a tablet
)

// kinds is made when the first entry is read, because most runs read none.
var kinds = sync.OnceValue(func() map[string]kind {
	out := make(map[string]kind, 2000)
	for k, words := range map[kind]string{
		before: beforeWords, perhapsBefore: perhapsBeforeWords, accompanying: accompanyingWords,
		purposeWord: purposeWords, local: localWords, systemic: systemicWords, connecting: connectingWords,
	} {
		for w := range strings.FieldsSeq(words) {
			out[normal(w)] |= k
		}
	}
	return out
})

func is(word string, k kind) bool { return kinds()[word]&k != 0 }

// noise are words around a medicine's name that are no medicine: forms, times and amounts.
var noise = func() map[string]bool {
	out := map[string]bool{}
	for w := range strings.FieldsSeq(noiseWords) {
		out[w] = true
	}
	return out
}()

const noiseWords = `
mg mcg ug g ml iu ui ie units unit micrograms microgram milligrams milligram grams percent x h hs bd od tds qds prn
tablet tablets tab tabs capsule capsules cap caps pill pills drop drops spray cream gel ointment injection injections
patch inhaler inhalers syrup sachet puff puffs dose doses daily day days week weeks weekly month months monthly year
years once twice thrice times time morning mornings evening evenings night nights bedtime noon every each per a an the
of for as when needed if or sometimes now since in on my at low high strength modified release slow sodium tablets
comprimido comprimidos capsula capsulas gotas crema pomada inyeccion dia dias semana semanas mes noche noches manana
cada al por de la el una un veces comprime comprimes gelule gelules gouttes jour jours soir matin fois par le semaine
tablette tabletten kapsel kapseln tropfen salbe spritze taglich morgens abends mal tag woche pro am tabletka tabletki
kapsulka dziennie rano wieczorem raz razy na dzien tydzien`

const beforeWords = `for against para contra pour contre für gegen wegen dla przeciw для против بسبب ضد`

const perhapsBeforeWords = `since if when si se por per bei falls wenn na od от при`

const accompanyingWords = `with con avec mit com`

const purposeWords = `
blood pressure hypertension cholesterol heart thyroid diabetes diabetic asthma migraine migraines headache headaches pain
back depression anxiety allergy allergies hayfever hay fever reflux stomach acid sleep contraception acne skin cold sores
herpes epilepsy gout arthritis rheumatism infection cough nausea menopause stroke rhythm fibrillation atrial
prevention underactive high low overactive prostate bladder psoriasis eczema rosacea cancer water type fever stent bypass
tensión presión arterial hipertensión colesterol corazón tiroides azúcar asma migraña dolor cabeza fiebre fibrilación auricular depresión ansiedad
alergia estómago dormir anticonceptivo acné piel epilepsia gota artritis infección ictus trombosis arritmia próstata
tension fièvre fibrillation auriculaire artérielle cœur thyroïde diabète asthme douleur dépression anxiété allergie estomac sommeil peau goutte arthrite
hypertonie bluthochdruck hoher hohen alta alto blutdruck cholesterin herz schilddrüse zucker kopfschmerzen schmerzen schmerz angst allergie
magen schlaf haut gicht rheuma depressionen epilepsie vorhofflimmern
pressione ipertensione colesterolo cuore tiroide diabete emicrania dolore ansia stomaco pelle depressione
pressão hipertensão coração tireoide tiroide enxaqueca dor ansiedade estômago pele depressão
ciśnienie nadciśnienie serce tarczyca tarczycę cukrzyca astma migrena ból bóle głowy depresja lęk alergia żołądek skóra
давление давления гипертония сердце щитовидная железа диабет астма мигрень боль боли депрессия аллергия желудок кожа
ضغط الضغط الدم القلب الغدة الدرقية السكري سكري الربو ربو صداع ألم اكتئاب قلق حساسية المعدة الجلد`

const localWords = `
cream creams ointment gel lotion foam drop drops eye eyes eyedrops ear ears nasal nose inhaler inhalers inhaled
inhalation puff puffs topical topically mouthwash
crema cremas pomada ungüento loción gotas colirio ojo ojos oído nariz inhalador inhalado inhalada tópico tópica
crème pommade onguent lotion gouttes collyre œil yeux oreille nez inhalateur inhalé topique
creme salbe tropfen augentropfen augensalbe auge augen ohrentropfen nase nasenspray nasentropfen inhalator inhalation
dosieraerosol äußerlich
pomata unguento lozione gocce collirio occhio occhi orecchio naso nasale inalatore inalazione topico
pomada unguento loção colírio olho olhos nariz inalador inalação
krem maść żel krople oko oczy oczu ucho nosa inhalator inhalacja wziewny wziewnie miejscowo
крем мазь гель капли глаз глаза глазные ухо нос носа назальный ингалятор ингаляции местно
كريم مرهم جل جيل قطرة قطرات عين العين أنف الأنف بخاخ استنشاق موضعي`

const systemicWords = `
tablet tablets tab tabs capsule capsules pill pills oral orally mouth swallowed injection injections injected infusion
syrup intravenous intramuscular subcutaneous iv sc
comprimido comprimidos pastilla pastillas cápsula cápsulas boca inyección inyecciones inyectable jarabe infusión
comprimé comprimés gélule gélules bouche injectable sirop perfusion
tablette tabletten kapsel kapseln spritze spritzen oral infusion saft
compressa compresse capsula capsule iniezione iniezioni sciroppo bocca orale
injeção injeções xarope infusão
tabletka tabletki kapsułka kapsułki zastrzyk zastrzyki doustnie wlew
таблетка таблетки капсула капсулы укол уколы инъекция внутрь сироп
حبة حبوب أقراص قرص كبسولة كبسولات حقنة حقن فموي شراب`

const connectingWords = `
hydrochloride hcl sulfate sulphate fumarate maleate besilate besylate mesilate mesylate tartrate succinate citrate
acetate phosphate calcium potassium magnesium bromide chloride nitrate arginine erbumine tosilate disodium propionate
valerate furoate glycinate bisglycinate picolinate gluconate oxide orotate malate lactate dipropionate monohydrate hydrate
hidrocloruro clorhidrato sulfato fumarato maleato besilato mesilato tartrato succinato citrato acetato fosfato cálcico
potásico sódico sodico bromuro cloruro propionato
chlorhydrate fumarate maléate bésilate citrate sodique potassique calcique
hydrochlorid sulfat fumarat maleat besilat mesilat tartrat succinat citrat acetat phosphat natrium kalium kalzium
cloridrato solfato fosfato potassico calcico cloridrato cloreto
chlorowodorek fumaran maleinian bursztynian winian siarczan sodowy sodu potasu wapnia
гидрохлорид натрия натрий калия кальция
i take takes taking taken took use uses using used have having has had been was were is am are be get got started stopped
start stop finished finishing completed ended reducing reduced course only also still about around approximately approx roughly half quarter one two three four five full both again
until till from to by into before after with without during between than then but not sure maybe probably think usually
regularly regular occasionally occasional rarely often always recently currently until last next ago today yesterday
meal meals food breakfast lunch dinner supper water weekend weekends hour hours hourly minutes daytime nightly afternoon
doctor doctors gp dr hospital pharmacy pharmacist prescribed prescription specialist nurse cardiologist dermatologist
generic brand medicine medicines medication medications im vía via long term short course courses dosage dosing strength
mild small big large extended prolonged retard controlled delayed immediate acting soluble dispersible effervescent
chewable coated enteric vial vials ampoule ampoules pen pens syringe auto injector
autoinjector bottle box packet patches plaster suppository suppositories powder solution suspension liquid lozenge implant
supplement supplements suplemento complemento complément integratore tea extract root leaf oil nocte mane inr level target range dosage mgs mls
required
necessary please years old since because this that it its them these same too very more less than max maximum min minimum
up down every other alternate monday tuesday wednesday thursday friday saturday sunday mondays tuesdays wednesdays
thursdays fridays saturdays sundays january february march april may june july august september october november december
spring summer autumn winter sprays teaspoon teaspoons tablespoon spoon cup skin face scalp arm arms hand hands legs lips
tomo toma tomando uso usando llevo tengo empecé dejé desde hasta antes después durante con sin sobre solo sólo también medio
media mitad uno dos tres cuatro cinco tarde tardes noche mañana mañanas hora horas comida comidas desayuno almuerzo cena
médico doctor doctora recetado recetada hospital farmacia genérico medicamento medicina pastilla pastillas sobre sobres
parche parches ampolla ampollas pluma jeringa necesito necesario necesaria necesidad diario diaria diariamente semanal
semanalmente mensual siempre nunca veces actualmente ahora hace años meses lunes martes miércoles jueves viernes sábado
domingo enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre dosis baja alta acción
prolongada liberación cuando hasta según pauta
prends prend prise prises pris depuis jusque avant après pendant avec sans seulement aussi demi moitié deux trois quatre
cinq midi heure heures repas petit déjeuner dîner médecin docteur prescrit prescrite hôpital pharmacie générique
médicament besoin quotidien quotidienne quotidiennement hebdomadaire mensuel toujours parfois souvent actuellement ans mois
lundi mardi mercredi jeudi vendredi samedi dimanche janvier février mars avril mai juin juillet août septembre octobre
novembre décembre faible forte libération prolongée sachet sachets chaque tous toutes les stylo seringue ampoule
nehme nimmt genommen nehmen einnahme seit bis vor nach während ohne nur auch halbe halb eine einen einer zwei drei vier
mittags mittag nachts nacht abend morgen stunde stunden essen mahlzeit frühstück arzt ärztin hausarzt verschrieben
verordnet krankenhaus apotheke generikum medikament bedarf einmal zweimal dreimal wöchentlich monatlich immer manchmal
selten oft aktuell jahre jahren monate monaten montag dienstag mittwoch donnerstag freitag samstag sonntag januar februar
märz juni juli oktober dezember niedrig retardiert stück jeden jede jeder alle täglich pflaster ampulle ampullen
prendo prende preso assumo assunzione da dal fino prima dopo durante senza solo anche mezza mezzo due tre quattro cinque
sera mattina mattino notte pranzo pasti pasto colazione medico dottore prescritto prescritta ospedale farmacia generico
medicinale farmaco bisogno giorno giorni giornaliero giornaliera settimana settimane settimanale mensile sempre talvolta
spesso anni mesi ogni volta volte lunedì martedì mercoledì giovedì venerdì sabato domenica gennaio febbraio aprile maggio
giugno luglio settembre ottobre dicembre bassa rilascio prolungato bustina bustine cerotto fiala penna siringa
tomo toma tomando desde até antes depois durante sem também meia metade dois duas três quatro noite noites manhã manhãs
almoço jantar refeição refeições médico médica receitado receitada hospital farmácia necessário semanal mensal sempre às
vezes anos meses segunda terça quarta quinta sexta sábado janeiro fevereiro março maio junho julho setembro outubro
novembro dezembro baixa libertação liberação adesivo ampola caneta todos todas dias
biorę bierze zażywam przyjmuję stosuję od do przed po podczas bez tylko także też pół połowa jedna jeden dwa dwie trzy
cztery wieczór wieczorem rano noc noce południe godzina godziny godzin jedzenie jedzenia posiłek posiłku lekarz lekarza
przepisany szpital apteka generyk lek leki potrzeby potrzebie razie codziennie tygodniowo tygodniu miesiąc miesięcznie
zawsze czasem często lata lat miesięcy poniedziałek wtorek środa czwartek piątek sobota niedziela styczeń luty marzec
kwiecień maj czerwiec lipiec sierpień wrzesień październik listopad grudzień mała przedłużone uwalnianie plaster ampułka
saszetka dawka dawki
принимаю пью мг мкг мл раз раза в день дня дней утром вечером ночью ночь утро вечер днём неделю неделя недели месяц год
года лет ежедневно перед после до еды во время без только также половина половину один два три четыре врач назначил
больница аптека лекарство препарат необходимости иногда часто всегда сейчас доза доз ампула шприц ручка пластырь каждый
каждые ед понедельник вторник среда четверг пятница суббота воскресенье
آخذ أتناول ملغ ملجم مغ مل غرام يوميا يومي اليوم يوم مرة مرتين مرات صباحا مساء ليلا الصباح المساء الليل كل أسبوع
أسبوعيا شهر شهريا سنة سنوات قبل بعد الأكل الطعام مع بدون نصف واحدة واحد حبتين طبيب الطبيب عند اللزوم الحاجة أحيانا
دائما منذ جرعة في من على إلى`

// nothings are entries that say that nothing is taken, as a whole entry only.
var nothings = func() map[string]bool {
	out := map[string]bool{}
	for _, w := range strings.Split(nothingWords, ",") {
		out[normal(w)] = true
	}
	return out
}()

const nothingWords = `none,nothing,nil,no,n/a,ninguno,ninguna,nada,aucun,aucune,rien,non,keine,keines,keins,nichts,nein,` +
	`nessuno,nessuna,niente,nenhum,nenhuma,não,brak,żadne,żadnych,nic,nie,нет,ничего,لا,لا شيء,لا يوجد,无,没有,没,不用,कुछ नहीं,नहीं,कोई नहीं`

// longestNothing is a bound, in bytes, above all of nothings with blanks and a full stop.
const longestNothing = 20

func saysNothing(text string) bool {
	if len(text) > longestNothing {
		return false
	}
	switch s := strings.Trim(text, " \t."); s {
	case "":
		return false
	case "-", "--", "---", "–", "—", "/":
		return true
	default:
		return nothings[normal(s)] && !strings.ContainsAny(s, "+&;,|0123456789")
	}
}

// isAmount says whether a word is or begins with a number: "3", "75ug".
func isAmount(s string) bool {
	for _, r := range s {
		return unicode.IsDigit(r)
	}
	return false
}

func isNoise(s string) bool {
	if noise[s] || joins[s] {
		return true
	}
	digits := false
	for i, r := range s {
		if unicode.IsDigit(r) {
			digits = true
			continue
		}
		// "3mg", "75ug": an amount written without a space.
		return digits && i > 0 && (noise[s[i:]])
	}
	return digits
}
