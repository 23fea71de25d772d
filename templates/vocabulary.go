package templates

import (
	"sync"

	"philtrum/forms/clinic"
	"philtrum/forms/visit"
)

// vocabulary lists the words of the trade that have a message "term.<kind>.<code>". Codes of zones,
// planes, techniques and instruments are those of forms/visit.
var vocabulary = sync.OnceValue(func() map[string][]string {
	words := visit.Lists()
	zones := append(words.Codes(), "UL", "LL", "LIPS") // areas too: plans may name them
	return map[string][]string{
		"zone": zones, "plane": words.Planes, "technique": words.Techniques, "instrument": words.Instruments,
		"class":    visit.Classes,
		"lip":      {"upper", "lower", "both", "none"},
		"side":     {"right", "left", "both", "midline"},
		"level":    {"stop", "wait", "decide", "inform"},
		"missing":  {"not_asked", "blank", "unsure", "declined", "outlived", "partial", "defect"},
		"visit":    {"consultation", "treatment", "review", "dissolving", "complication", "call"},
		"consent":  {"planned", "informed", "consented", "declined", "withdrawn", "stopped_early", "treated"},
		"paper":    {"information", "consent", "record", "aftercare", "questionnaire", "summary", "deferral", "emergency_sheet", "letter", "card", "travel", "seal", "recall", "adverse"},
		"place":    {"AT", "AU", "BE", "CA", "DE", "DK", "ES", "FR", "GB-ENG", "GB-NIR", "GB-SCT", "GB-WLS", "IE", "IT", "NL", "PL", "PT", "SE", "US"},
		"role":     {"injector", "prescriber", "medical_lead", "front_desk"},
		"need":     visit.Needs,
		"mode":     visit.Modes,
		"language": {"en", "es", "fr", "de", "pl", "ar", "hi", "zh", "none"},
		"check":    {"capillary_refill", "pain", "vision"},
		"kit":      clinic.KitItems,
		"patch":    visit.PatchDecisions,
		"harm":     visit.Harms,
		"view":     visit.Views,
		"stage":    visit.Stages,
		"touch_up": visit.TouchUps,
		"tissue":   visit.Tissues,
		"identity": {"passport", "driving_licence", "national_identity_card", "identity_card", "residence_permit", "proof_of_age_card"},
		"how":      {"paper", "screen", "email", "e-mail", "post", "read_aloud", "link"},
		"profession": {
			"doctor", "physician", "surgeon", "plastic_surgeon", "dermatologist", "dentist", "nurse", "nurse_prescriber", "midwife",
			"pharmacist", "dental_hygienist", "dental_therapist", "paramedic", "physician_associate", "physiotherapist", "aesthetician",
			"front_desk",
		},
	}
})
