package exchange

import (
	"slices"
	"strconv"
	"time"

	"philtrum/forms/visit"
)

type procedure struct {
	ResourceType      string               `json:"resourceType"`
	ID                string               `json:"id"`
	Status            string               `json:"status"`
	StatusReason      *concept             `json:"statusReason,omitempty"`
	Code              *concept             `json:"code,omitempty"`
	Subject           reference            `json:"subject"`
	PerformedDateTime string               `json:"performedDateTime,omitempty"`
	PerformedPeriod   *period              `json:"performedPeriod,omitempty"`
	Performer         []procedurePerformer `json:"performer,omitempty"`
	BodySite          []concept            `json:"bodySite,omitempty"`
	Complication      []concept            `json:"complication,omitempty"`
	Note              []annotation         `json:"note,omitempty"`
	UsedReference     []reference          `json:"usedReference,omitempty"`
}

type procedurePerformer struct {
	Actor      reference  `json:"actor"`
	OnBehalfOf *reference `json:"onBehalfOf,omitempty"`
}

type observation struct {
	ResourceType      string      `json:"resourceType"`
	ID                string      `json:"id"`
	PartOf            []reference `json:"partOf,omitempty"`
	Status            string      `json:"status"`
	Code              concept     `json:"code"`
	Subject           reference   `json:"subject"`
	EffectiveDateTime string      `json:"effectiveDateTime,omitempty"`
	Performer         []reference `json:"performer,omitempty"`
	ValueQuantity     *quantity   `json:"valueQuantity,omitempty"`
	ValueString       string      `json:"valueString,omitempty"`
	DataAbsentReason  *concept    `json:"dataAbsentReason,omitempty"`
	BodySite          *concept    `json:"bodySite,omitempty"`
	Method            *concept    `json:"method,omitempty"`
	Device            *reference  `json:"device,omitempty"`
	Component         []component `json:"component,omitempty"`
}

type component struct {
	Code                 concept  `json:"code"`
	ValueCodeableConcept *concept `json:"valueCodeableConcept,omitempty"`
	ValueString          string   `json:"valueString,omitempty"`
	ValueInteger         int      `json:"valueInteger,omitempty"`
}

func itoa(n int) string { return strconv.Itoa(n) }

// addProcedure adds what was done, where anything was.
func (b *builder) addProcedure() {
	v := b.r.Visit
	t := v.Treatment
	if t == nil {
		return
	}
	id := b.id("procedure", "")
	p := procedure{ResourceType: "Procedure", ID: id, Subject: reference{Reference: b.patient}, Code: b.done()}
	p.Status, p.StatusReason = b.status()
	switch start, end := b.instant(t.Start), b.instant(t.End); {
	case end != "":
		p.PerformedPeriod = &period{start, end}
		if start != "" && t.End.Before(t.Start) { // per-1: a period that ends before it starts is none
			p.PerformedPeriod, p.PerformedDateTime = nil, start
		}
	case start != "":
		p.PerformedDateTime = start
	}
	by := t.By
	if by == "" {
		by = v.Practitioner
	}
	if ref := b.person(by); ref != "" {
		p.Performer = []procedurePerformer{{reference{Reference: ref}, to(b.organization)}}
	}
	p.BodySite = b.zones()
	if t.Event != nil {
		p.Complication = concepts(t.Event.Signs)
	}
	p.Note = notes(t.Asepsis, t.Reaction, t.Notes)
	for _, d := range b.devices {
		p.UsedReference = append(p.UsedReference, reference{Reference: d.ref})
	}
	b.procedure = b.add(id, p)
}

func (b *builder) done() *concept {
	switch t := b.r.Visit.Treatment; {
	case len(t.Rows)+len(t.Syringes) > 0:
		return b.concept("exchange.procedure.filler")
	case t.Dissolved != nil:
		return b.concept("exchange.procedure.dissolving")
	}
	return textual(b.term("visit", string(b.r.Visit.Kind)))
}

// status is completed only where an end is recorded: a record without one leaves it unknown.
func (b *builder) status() (string, *concept) {
	v := b.r.Visit
	for _, s := range v.States {
		if s.State == visit.StoppedEarly {
			return "stopped", textual(s.Note)
		}
	}
	if !v.Treatment.End.IsZero() || v.Consent() == visit.Treated {
		return "completed", nil
	}
	return "unknown", nil
}

func (b *builder) zones() []concept {
	var seen []string
	add := func(zone string) {
		if zone != "" && !slices.Contains(seen, zone) {
			seen = append(seen, zone)
		}
	}
	t := b.r.Visit.Treatment
	for _, r := range t.Rows {
		add(r.Zone)
	}
	if t.Dissolved != nil {
		for _, d := range t.Dissolved.Doses {
			add(d.Zone)
		}
	}
	var all []string
	for _, z := range seen {
		all = append(all, b.term("zone", z))
	}
	return concepts(all...)
}

// addObservations adds a volume for each injection row, the immediate checks and the weight.
func (b *builder) addObservations() {
	t := b.r.Visit.Treatment
	if t == nil {
		return
	}
	for i, r := range t.Rows {
		b.addVolume(i, r)
	}
	for i, c := range t.Checks {
		o := b.observed("check "+itoa(i), b.term("check", c.What), orElse(c.At, t.Start))
		o.ValueString = clean(c.Result)
		b.addObservation(o)
	}
	if !t.Weight.IsZero() || t.WeightText != "" {
		o := b.observed("weight", b.word("exchange.observation.weight"), t.Start)
		if t.WeightText == "" {
			o.ValueQuantity = in(t.Weight.String(), "kg", "kg")
		}
		o.ValueString = clean(t.WeightText)
		b.addObservation(o)
	}
}

func (b *builder) observed(key, code string, at time.Time) observation {
	if code == "" {
		code = b.term("visit", string(b.r.Visit.Kind))
	}
	by := b.r.Visit.Treatment.By
	if by == "" {
		by = b.r.Visit.Practitioner
	}
	return observation{ResourceType: "Observation", ID: b.id("observation", key), Status: "final", Code: concept{Text: code},
		PartOf: many(b.procedure), Subject: reference{Reference: b.patient}, EffectiveDateTime: b.instant(at), Performer: many(b.person(by))}
}

// addObservation says of an observation without a value that nobody knows it.
func (b *builder) addObservation(o observation) {
	if o.ValueQuantity == nil && o.ValueString == "" {
		o.DataAbsentReason = coded(systemAbsent, "unknown")
	}
	b.add(o.ID, o)
}

// addVolume adds an injection row: the volume as read from the scale, or as it was typed where it could not be read.
func (b *builder) addVolume(i int, r visit.Row) {
	o := b.observed("row "+itoa(i), b.word("exchange.observation.volume"), b.r.Visit.Treatment.Start)
	switch {
	case r.VolumeText != "":
		o.ValueString = clean(r.VolumeText)
	case !r.Volume.IsZero():
		o.ValueQuantity = millilitres(r.Volume)
	}
	site := b.term("zone", r.Zone)
	if side := b.term("side", r.Side); side != "" && site != "" {
		site += ", " + side
	}
	o.BodySite, o.Method, o.Device = textual(site), textual(b.term("technique", r.Technique)), to(b.deviceOf(r))
	o.Component = b.components(r)
	b.addObservation(o)
}

func (b *builder) components(r visit.Row) []component {
	var all []component
	say := func(name, text string) {
		if c := textual(text); c != nil {
			all = append(all, component{Code: *b.concept("exchange.component." + name), ValueCodeableConcept: c})
		}
	}
	write := func(name, text string) {
		if text = clean(text); text != "" {
			all = append(all, component{Code: *b.concept("exchange.component." + name), ValueString: text})
		}
	}
	count := func(name string, n int) {
		if n > 0 {
			all = append(all, component{Code: *b.concept("exchange.component." + name), ValueInteger: n})
		}
	}
	say("side", b.term("side", r.Side))
	say("plane", b.term("plane", r.Plane))
	say("technique", b.term("technique", r.Technique))
	say("instrument", b.term("instrument", r.Instrument))
	write("gauge", r.Gauge)
	count("passes", r.Passes)
	count("entry_points", r.EntryPoints)
	write("aspiration", r.Aspiration)
	write("refill", r.Refill)
	return all
}

func orElse(at, otherwise time.Time) time.Time {
	if at.IsZero() {
		return otherwise
	}
	return at
}
