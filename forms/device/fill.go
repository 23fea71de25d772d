package device

import (
	"strings"

	"philtrum/forms/measure"
)

// Typed is what a person has written about a syringe beside its code. ExpiryText is an expiry that could not
// be read.
type Typed struct {
	Device, Lot string
	Expiry      measure.Date
	ExpiryText  string
}

// Fill takes from the code what a person has left open, and remarks where both say something else. What was
// typed is never replaced.
func (c Carrier) Fill(t Typed) (Typed, []Remark) {
	var remarks []Remark
	differs := func(id, typed, code string) {
		remarks = append(remarks, Remark{ID: "scan." + id, Level: Doubt, Args: map[string]any{"typed": typed, "code": code}})
	}
	switch {
	case strings.TrimSpace(t.Device) == "":
		t.Device = c.DeviceIdentifier
	case c.DeviceIdentifier != "" && Normal(t.Device) != Normal(c.DeviceIdentifier):
		differs("device_differs", t.Device, c.DeviceIdentifier)
	}
	switch {
	case strings.TrimSpace(t.Lot) == "":
		t.Lot = c.Lot
	case c.Lot != "" && !SameLot(t.Lot, c.Lot):
		differs("lot_differs", t.Lot, c.Lot)
	}
	switch {
	case t.Expiry.IsZero() && strings.TrimSpace(t.ExpiryText) == "":
		t.Expiry = c.Expiry
		if c.Expiry.IsZero() {
			t.ExpiryText = c.ExpiryText
		}
	case !t.Expiry.IsZero() && !c.Expiry.IsZero() && t.Expiry != c.Expiry:
		remarks = append(remarks, Remark{ID: "scan.expiry_differs", Level: Doubt, Args: map[string]any{"typed": t.Expiry, "code": c.Expiry}})
	}
	return t, remarks
}
