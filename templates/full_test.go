package templates

import (
	"time"

	"philtrum/forms/clinic"
	"philtrum/forms/measure"
	"philtrum/forms/place"
	"philtrum/forms/screen"
	"philtrum/forms/visit"
)

// fullFacts give every list an item.
func fullFacts() *Facts {
	at := time.Date(2026, 12, 4, 14, 5, 0, 0, time.UTC)
	row := visit.Row{Zone: "UL-VB", Side: "right", Instrument: "needle", Product: "a", Volume: measure.MustVolume("0.2")}
	return &Facts{
		OnTheDay: []string{"pregnant"},
		Place:    place.Place{Reporting: []place.Fact{{Value: "place.reporting.yellow_card"}}},
		Stock:    clinic.Stock{Products: []clinic.Product{{ID: "a", Name: "A"}}, Kit: []clinic.KitItem{{Item: "adrenaline"}}},
		Report: screen.Report{Findings: []screen.Finding{
			{Rule: "a", Outcome: "b", Level: screen.Decide, Adds: screen.Adds{Consent: []string{"rule.risk.a"}, Aftercare: []string{"rule.care.a"}}},
			{Rule: "a", Outcome: "c", Level: screen.Decide, Unknown: true, Missing: []screen.Missing{{Question: "q", Why: screen.IsBlank}}},
			{Rule: "a", Outcome: "d", Level: screen.Decide, Decided: &visit.Decision{Reason: "r", By: "b", At: at}},
			{Rule: "a", Outcome: "e", Level: screen.Wait, Condition: true, Met: &visit.Condition{Note: "n", By: "b", At: at}},
		}},
		Visit: visit.Visit{
			Plan:   visit.Plan{Zones: []string{"UL"}},
			Handed: []visit.Handed{{Paper: "information", At: at}},
			Papers: []visit.Paper{{Kind: "consent", Document: "x", At: at}},
			Treatment: &visit.Given{
				Start: at, Rows: []visit.Row{row}, Syringes: []visit.Syringe{{Product: "a"}},
				Anaesthetics: []visit.Anaesthetic{{Substance: "lidocaine"}}, Checks: []visit.Check{{What: "pain"}},
				Unread: []visit.Unread{{Where: "rows.1.volume", Text: "x"}},
			},
		},
	}
}
