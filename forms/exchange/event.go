package exchange

type adverseEvent struct {
	ResourceType  string      `json:"resourceType"`
	ID            string      `json:"id"`
	Actuality     string      `json:"actuality"`
	Event         *concept    `json:"event,omitempty"`
	Subject       reference   `json:"subject"`
	Date          string      `json:"date,omitempty"`
	Detected      string      `json:"detected,omitempty"`
	Seriousness   *concept    `json:"seriousness,omitempty"`
	Outcome       *concept    `json:"outcome,omitempty"`
	Recorder      *reference  `json:"recorder,omitempty"`
	SuspectEntity []suspected `json:"suspectEntity,omitempty"`
}

type suspected struct {
	Instance reference `json:"instance"`
}

// addEvent adds a complication of the visit. Only what the record says in closed words is coded: an outcome where
// the event is resolved or was fatal, serious where harm was or had to be prevented.
func (b *builder) addEvent() {
	t := b.r.Visit.Treatment
	if t == nil || t.Event == nil {
		return
	}
	e := t.Event
	id := b.id("event", "")
	out := adverseEvent{ResourceType: "AdverseEvent", ID: id, Actuality: "actual", Event: textual(e.Signs), Subject: reference{Reference: b.patient},
		Date: b.instant(e.Onset), Detected: b.instant(e.Noticed)}
	if out.Event == nil {
		out.Event = textual(b.term("visit", "complication"))
	}
	by := t.By
	if by == "" {
		by = b.r.Visit.Practitioner
	}
	out.Recorder = to(b.person(by))
	switch e.Seriousness {
	case "intervention", "hospital", "disability", "life_threat", "death":
		out.Seriousness = coded(systemSeriousness, "Serious")
	case "none":
		out.Seriousness = coded(systemSeriousness, "Non-serious")
	}
	if out.Seriousness != nil {
		out.Seriousness.Text = b.term("harm", e.Seriousness)
	} else {
		out.Seriousness = textual(b.term("harm", e.Seriousness))
	}
	switch {
	case e.Seriousness == "death":
		out.Outcome = coded(systemOutcome, "fatal")
	case !e.Resolved.IsZero() && e.Seriousness == "disability":
		out.Outcome = coded(systemOutcome, "resolvedWithSequelae")
	case !e.Resolved.IsZero():
		out.Outcome = coded(systemOutcome, "resolved")
	}
	suspects := b.devices
	if v, ok := b.r.Visit.Blamed(b.r.Earlier); ok && v.ID != b.r.Visit.ID {
		suspects = b.devicesOf(v)
	} else if !ok {
		suspects = nil
	}
	for _, d := range suspects {
		out.SuspectEntity = append(out.SuspectEntity, suspected{reference{Reference: d.ref}})
	}
	b.add(id, out)
}
