package exchange

import (
	"slices"

	"philtrum/forms/clinic"
	"philtrum/forms/device"
	"philtrum/forms/measure"
	"philtrum/forms/visit"
)

type deviceResource struct {
	ResourceType    string           `json:"resourceType"`
	ID              string           `json:"id"`
	UDICarrier      []udiCarrier     `json:"udiCarrier,omitempty"`
	Manufacturer    string           `json:"manufacturer,omitempty"`
	ManufactureDate string           `json:"manufactureDate,omitempty"`
	ExpirationDate  string           `json:"expirationDate,omitempty"`
	LotNumber       string           `json:"lotNumber,omitempty"`
	SerialNumber    string           `json:"serialNumber,omitempty"`
	DeviceName      []deviceName     `json:"deviceName,omitempty"`
	Type            *concept         `json:"type,omitempty"`
	Patient         *reference       `json:"patient,omitempty"`
	Owner           *reference       `json:"owner,omitempty"`
	Property        []deviceProperty `json:"property,omitempty"`
	Note            []annotation     `json:"note,omitempty"`
}

type udiCarrier struct {
	DeviceIdentifier string `json:"deviceIdentifier,omitempty"`
	Issuer           string `json:"issuer,omitempty"`
	CarrierAIDC      []byte `json:"carrierAIDC,omitempty"` // exactly as scanned
	CarrierHRF       string `json:"carrierHRF,omitempty"`
	EntryType        string `json:"entryType,omitempty"`
}

type deviceName struct {
	Name string `json:"name"`
	Type string `json:"type"`
}

type deviceProperty struct {
	Type          concept    `json:"type"`
	ValueQuantity []quantity `json:"valueQuantity,omitempty"`
}

type madeDevice struct{ ref, product, lot string }

// issuers are the agencies as the definition of Device.udiCarrier.issuer names them.
var issuers = map[device.Agency]string{
	device.GS1:    "http://hl7.org/fhir/NamingSystem/gs1-di",
	device.HIBCC:  "http://hl7.org/fhir/NamingSystem/hibcc-dI",
	device.ICCBBA: "http://hl7.org/fhir/NamingSystem/iccbba-other-di",
}

// addDevices adds a device for each unit that was opened, and for every product and lot that a row names beside them.
func (b *builder) addDevices() {
	if b.r.Visit.Treatment != nil {
		b.devices = b.devicesOf(b.r.Visit)
	}
}

// devicesOf adds those of a visit. Their ids are of that visit, whichever bundle they are in.
func (b *builder) devicesOf(v visit.Visit) []madeDevice {
	var all []madeDevice
	for i, s := range v.Treatment.Syringes {
		all = append(all, b.addSyringe(uuid(v.Salt, "device", itoa(i)), s))
	}
	for _, r := range v.Treatment.Rows {
		known := r.Syringe > 0 && r.Syringe <= len(v.Treatment.Syringes) ||
			slices.ContainsFunc(all, func(d madeDevice) bool { return d.lot == r.Lot && d.product == r.Product })
		if r.Product+r.Lot == "" || known {
			continue
		}
		id := uuid(v.Salt, "device", "row "+r.Product+"\n"+r.Lot)
		all = append(all, madeDevice{b.add(id, b.newDevice(id, r.Product, r.Lot)), r.Product, r.Lot})
	}
	return all
}

func (b *builder) newDevice(id, productID, lot string) deviceResource {
	p, _ := b.product(productID)
	d := deviceResource{ResourceType: "Device", ID: id, LotNumber: clean(lot), Manufacturer: clean(p.Maker),
		Type: b.deviceType(p), Patient: to(b.patient), Owner: to(b.organization)}
	if name := clean(p.Name); name != "" {
		d.DeviceName = []deviceName{{name, "user-friendly-name"}}
	}
	return d
}

func (b *builder) deviceType(p clinic.Product) *concept {
	text := b.word("exchange.device.filler")
	if class := b.term("class", p.Class); class != "" {
		text += ", " + class
	}
	return textual(text)
}

func (b *builder) addSyringe(id string, s visit.Syringe) madeDevice {
	d := b.newDevice(id, s.Product, s.Lot)
	d.ExpirationDate, d.Note = day(s.Expiry), notes(s.ExpiryText, s.LabelledText, s.DiscardedText)
	carrier := udiCarrier{DeviceIdentifier: clean(s.Device)}
	if s.Code != nil {
		c := s.Code.Carrier
		carrier.Issuer, carrier.CarrierHRF, carrier.CarrierAIDC = issuers[c.Agency], visible(s.Carrier), []byte(s.Carrier)
		carrier.EntryType = "unknown"
		if c.Symbology != "" {
			carrier.EntryType = "barcode" // only a scanner says which symbol it read
		}
		d.SerialNumber, d.ManufactureDate = clean(c.Serial), day(c.Made)
	}
	if carrier.DeviceIdentifier+carrier.CarrierHRF != "" {
		d.UDICarrier = []udiCarrier{carrier}
	}
	for _, p := range []struct {
		id string
		v  measure.Volume
	}{{"record.products.labelled", s.Labelled}, {"record.products.discarded", s.Discarded}} {
		if !p.v.IsZero() {
			d.Property = append(d.Property, deviceProperty{Type: *b.concept(p.id), ValueQuantity: []quantity{*millilitres(p.v)}})
		}
	}
	return madeDevice{b.add(id, d), s.Product, s.Lot}
}

// deviceOf refers to what a row was injected from: its syringe, or the one unit of its product and lot.
func (b *builder) deviceOf(r visit.Row) string {
	opened := len(b.r.Visit.Treatment.Syringes)
	if r.Syringe > 0 && r.Syringe <= opened {
		return b.devices[r.Syringe-1].ref
	}
	found := ""
	for _, d := range b.devices {
		if d.lot == r.Lot && (d.product == r.Product || r.Product == "") && r.Lot+r.Product != "" {
			if found != "" {
				return "" // two units alike: nobody wrote down which
			}
			found = d.ref
		}
	}
	return found
}

func (b *builder) product(id string) (clinic.Product, bool) {
	for _, p := range b.r.Stock.Products {
		if p.ID == id && id != "" {
			return p, true
		}
	}
	return clinic.Product{ID: id, Name: id}, false
}

func day(d measure.Date) string {
	if d.IsZero() {
		return ""
	}
	return d.String()
}

func millilitres(v measure.Volume) *quantity { return in(v.String(), "mL", "mL") }
