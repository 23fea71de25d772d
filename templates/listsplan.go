package templates

import (
	"slices"
	"strings"
	"time"

	"philtrum/forms"
	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/screen"
	"philtrum/forms/visit"
	"philtrum/locales"
)

// What a plan, an examination, the clinic's product guide and the state of the consent say.
func init() {
	for name, v := range map[string]value{
		"tissue":              {locales.KindRef, func(f *Facts) locales.Value { return term("tissue", f.Visit.Plan.Examined.Tissue) }},
		"exam_rest":           text(func(f *Facts) string { return f.Visit.Plan.Examined.Rest }, "plan.examined.rest"),
		"exam_moving":         text(func(f *Facts) string { return f.Visit.Plan.Examined.Moving }, "plan.examined.moving"),
		"exam_profile":        text(func(f *Facts) string { return f.Visit.Plan.Examined.Profile }, "plan.examined.profile"),
		"exam_earlier_filler": text(func(f *Facts) string { return f.Visit.Plan.Examined.EarlierFiller }, "plan.examined.earlier_filler"),
		"exam_scars":          text(func(f *Facts) string { return f.Visit.Plan.Examined.Scars }, "plan.examined.scars"),
		"sessions":            {locales.KindCount, func(f *Facts) locales.Value { return countOr(f.Visit.Plan.Sessions) }},
		"interval_weeks":      {locales.KindCount, func(f *Facts) locales.Value { return countOr(f.Visit.Plan.IntervalWeeks) }},
		"upper_lower":         text(func(f *Facts) string { return f.Visit.Plan.UpperLower }, "plan.upper_lower"),
		"right_left":          text(func(f *Facts) string { return f.Visit.Plan.RightLeft }, "plan.right_left"),
		"volume_reason":       text(func(f *Facts) string { return f.Visit.Plan.VolumeReason }, "plan.volume_reason"),
		"clinic_authority":    text(func(f *Facts) string { return f.Clinic.Authority }, "clinic.authority"),
		"price_includes":      text(func(f *Facts) string { return f.Clinic.PriceIncludes }, "clinic.price_includes"),
		"price_review":        text(func(f *Facts) string { return f.Clinic.PriceReview }, "clinic.price_review"),
		"data_notice":         text(func(f *Facts) string { return f.Clinic.DataNotice }, "clinic.data_notice"),
		"guide_adopted":       date(func(f *Facts) measure.Date { return f.guide().Adopted }),
		"guide_by":            text(func(f *Facts) string { return f.person(f.guide().By).Name }, "guide.by"),
		"guide_first":         {locales.KindVolume, func(f *Facts) locales.Value { return volumeOr(f.guide().Volumes.FirstSmall) }},
		"guide_usual":         {locales.KindVolume, func(f *Facts) locales.Value { return volumeOr(f.guide().Volumes.Usual) }},
		"guide_ask":           {locales.KindVolume, func(f *Facts) locales.Value { return volumeOr(f.guide().Volumes.AskAbove) }},
		"stopped_at":          moment(func(f *Facts) time.Time { c, _ := f.state(visit.StoppedEarly); return c.At }),
		"stopped_note":        text(func(f *Facts) string { c, _ := f.state(visit.StoppedEarly); return c.Note }, "states.note"),
		"consent_state":       {locales.KindRef, func(f *Facts) locales.Value { return term("consent", string(f.Visit.Consent())) }},
		"taken_back_at":       moment(func(f *Facts) time.Time { c, _ := f.state(visit.Withdrawn); return c.At }),
		"declined_at":         moment(func(f *Facts) time.Time { c, _ := f.state(visit.DeclinedBy); return c.At }),
	} {
		values[name] = v
	}
	values["practitioner_profession"] = value{locales.KindRef, func(f *Facts) locales.Value {
		return said("profession", f.Practitioner.Profession, "staff.profession")
	}}
	values["identity_document"] = value{locales.KindRef, func(f *Facts) locales.Value {
		return said("identity", f.identity().Document, "visit.identity_seen")
	}}
	in := func(state visit.ConsentState) func(*Facts) bool {
		return func(f *Facts) bool { return f.Visit.Consent() == state }
	}
	truths["taken_back"] = in(visit.Withdrawn)
	truths["declined"] = in(visit.DeclinedBy)
	truths["no_longer_wanted"] = func(f *Facts) bool {
		s := f.Visit.Consent()
		return s == visit.Withdrawn || s == visit.DeclinedBy
	}
	truths["no_lidocaine"] = func(f *Facts) bool { return f.Visit.Plan.LidocaineSaid && !f.Visit.Plan.Lidocaine }
	truths["interpreter_qualified"] = func(f *Facts) bool { return f.interpreter().Qualified == "yes" }
	truths["interpreter_unqualified"] = func(f *Facts) bool { return f.interpreter().Qualified == "no" }
	truths["scope_known"] = func(f *Facts) bool {
		p := f.Visit.Plan
		return len(p.Zones) > 0 && len(p.Classes) > 0 && len(p.Instruments) > 0 && !p.Greatest.IsZero()
	}
	truths["looks_asked"] = (*Facts).looksAsked
	truths["looks_found"] = func(f *Facts) bool {
		return slices.ContainsFunc(f.Report.Findings, func(x screen.Finding) bool { return !x.Unknown && aboutLooks(x.Rule) })
	}
	truths["looks_decided"] = func(f *Facts) bool {
		return slices.ContainsFunc(f.Report.Findings, func(x screen.Finding) bool { return aboutLooks(x.Rule) && settled(x) })
	}
	lists["own_risks"] = listOf{fields: kinds{"risk": locales.KindRef, "answers": locales.KindRef}, items: ownRisks}
	truths["guide_holds"] = func(f *Facts) bool { return !f.guide().Adopted.IsZero() }
	lists["guide_notes"] = listOf{
		fields: kinds{"for_tissue": locales.KindRef, "class": locales.KindRef, "note": locales.KindRef},
		facts:  []string{"own_note", "shipped_note"}, items: guideItems,
	}
	lists["plan_findings"] = listOf{fields: kinds{"finding": locales.KindRef}, items: planFindings}
}

// guide is the clinic's product guide as of the appointment; nothing where nobody has adopted one by then.
func (f *Facts) guide() clinic.Guide {
	if g := f.Stock.Guide; g.Holds(dayOf(f.Visit.Appointment, f), f.Staff) {
		return g
	}
	return clinic.Guide{}
}

// shippedNotes are the lines of the example that ships, by their messages.
var shippedNotes = []string{"guide.lax", "guide.between", "guide.firm"}

func guideItems(f *Facts) []item {
	var out []item
	for _, n := range f.guide().Notes {
		tissue := term("tissue", n.Tissue)
		if n.Tissue == "" {
			tissue = term("zone", n.Zone)
		}
		shipped := slices.Contains(shippedNotes, n.Note)
		note := said("", n.Note, "guide.note")
		if shipped {
			note = locales.Ref(n.Note)
		}
		out = append(out, item{values: map[string]locales.Value{"for_tissue": tissue, "class": term("class", n.Class), "note": note},
			facts: map[string]bool{"own_note": n.Note != "" && !shipped, "shipped_note": shipped}})
	}
	return out
}

// planFindings are what the plan says beyond the consent that was given, and what it leaves open.
func planFindings(f *Facts) []item {
	line := func(id string) visit.Line {
		p, ok := f.product(id)
		return visit.Line{Known: ok, Class: p.Class, Lidocaine: p.Lidocaine}
	}
	var found []visit.Finding
	if signed, ok := f.Visit.Signed(); ok {
		found = f.Visit.Plan.Beyond(signed, line)
	}
	found = append(found, f.Visit.Plan.Misfits(line)...)
	found = append(found, f.Visit.Plan.AskReason(f.guide().Volumes.AskAbove)...)
	var out []item
	for _, x := range found {
		out = append(out, item{values: map[string]locales.Value{"finding": locales.RefWith(x.ID, findingArgs(x.Args))}})
	}
	return out
}

// lookQuestions ask how somebody feels about their looks, and whether times are hard.
var lookQuestions = []string{"looks_worry", "looks_hour", "looks_distress", "hard_time"}

// aboutLooks says whether a rule judges those questions.
func aboutLooks(rule string) bool { return strings.HasPrefix(rule, "mind.") }

// looksAsked says whether the questions about looks that matter have answers.
func (f *Facts) looksAsked() bool {
	waiting := f.Report.Unanswered()
	a, ok := f.Intake.Answer(lookQuestions[0])
	return ok && a.State == forms.Given && !slices.ContainsFunc(waiting, func(w screen.Unanswered) bool {
		return slices.Contains(lookQuestions, w.Question)
	})
}

// ownRisks are the risks that findings add, each once, with the patient's own answers behind them.
func ownRisks(f *Facts) []item {
	out := added(f, "risk", consentAdds)
	for i := range out {
		out[i].values = map[string]locales.Value{"answers": locales.Blank()}
		var ids []string
		for _, found := range f.Report.Findings {
			if !slices.Contains(found.Adds.Consent, out[i].late["risk"].id) {
				continue
			}
			for _, id := range found.Answers {
				if f.forPatient(id) && !slices.Contains(ids, id) {
					ids = append(ids, id)
				}
			}
		}
		out[i].values["answers"] = f.answers(ids)
	}
	return out
}

// said is a word of the trade where the text is one of them, in whatever case; other texts stand as they are.
func said(kind, typed, field string) locales.Value {
	code := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(typed)), " ", "_")
	switch {
	case code == "":
		return locales.Blank()
	case slices.Contains(vocabulary()[kind], code):
		return locales.Ref("term." + kind + "." + code)
	}
	return locales.RefWith(perKind+string(locales.KindText), locales.Args{"value": locales.Field(typed, field)})
}

// covered is a plan with the extent of the consent that was given, where that was recorded.
func covered(v visit.Visit) visit.Plan {
	p := v.Plan
	if s, ok := v.Signed(); ok {
		p.Zones, p.Greatest, p.Classes, p.Lidocaine, p.Instruments = s.Zones, s.Greatest, s.Classes, s.Lidocaine, s.Instruments
	}
	return p
}
