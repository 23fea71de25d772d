package templates

import "philtrum/forms/visit"

// vocabulary lists the words of the trade that have a message "term.<kind>.<code>". Codes of zones,
// planes, techniques and instruments are those of forms/visit.
var vocabulary = func() map[string][]string {
	words := visit.Lists()
	zones := append(words.Codes(), "UL", "LL", "LIPS")
	return map[string][]string{
		"zone": zones, "plane": words.Planes, "technique": words.Techniques, "instrument": words.Instruments,
		"class":   visit.Classes,
		"lip":     {"upper", "lower", "both", "none"},
		"side":    {"right", "left", "both", "midline"},
		"level":   {"stop", "wait", "decide", "inform"},
		"missing": {"not_asked", "blank", "unsure", "declined", "outlived", "partial"},
		"visit":   {"consultation", "treatment", "review", "dissolving", "complication", "call"},
		"consent": {"planned", "informed", "consented", "declined", "withdrawn", "stopped_early", "treated"},
		"paper":   {"information", "consent", "record", "aftercare", "questionnaire", "summary", "deferral", "emergency_sheet", "letter", "card"},
		"role":    {"injector", "prescriber", "medical_lead", "front_desk"},
		"need":    {"large_print", "read_aloud", "easy_read", "sign_language", "support_person"},
		"check":   {"capillary_refill", "pain", "vision"},
		"kit":     {"hyaluronidase", "adrenaline", "oxygen", "airway", "chlorphenamine"},
	}
}()
