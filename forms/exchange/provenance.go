package exchange

type provenance struct {
	ResourceType string             `json:"resourceType"`
	ID           string             `json:"id"`
	Target       []reference        `json:"target"`
	Recorded     string             `json:"recorded"`
	Activity     *concept           `json:"activity,omitempty"`
	Agent        []provenanceAgent  `json:"agent"`
	Entity       []provenanceEntity `json:"entity,omitempty"`
}

type provenanceAgent struct {
	Who        reference  `json:"who"`
	OnBehalfOf *reference `json:"onBehalfOf,omitempty"`
}

type provenanceEntity struct {
	Role string    `json:"role"`
	What reference `json:"what"`
}

// addProvenance says where everything comes from: the visit's file, by its digest, which the clinic's journal holds too.
func (b *builder) addProvenance() {
	v := b.r.Visit
	by := v.Practitioner
	if v.Treatment != nil && v.Treatment.By != "" {
		by = v.Treatment.By
	}
	agent := provenanceAgent{}
	switch who := b.person(by); {
	case who != "":
		agent = provenanceAgent{reference{Reference: who}, to(b.organization)}
	case b.organization != "":
		agent.Who = reference{Reference: b.organization}
	default:
		agent.Who = reference{Type: "Organization", Identifier: &identifier{Value: v.ID}}
	}
	recorded := b.instant(b.newest())
	if recorded == "" {
		return // nothing says when, and the time of making the bundle would say something else
	}
	id := b.id("provenance", "")
	out := provenance{ResourceType: "Provenance", ID: id, Recorded: recorded, Activity: b.concept("exchange.provenance.recorded"), Agent: []provenanceAgent{agent}}
	for _, e := range b.entries {
		out.Target = append(out.Target, reference{Reference: "urn:uuid:" + e.id})
	}
	if uri := digestURI(b.r.Digest); uri != "" {
		out.Entity = []provenanceEntity{{"source", reference{Identifier: &identifier{System: systemURI, Value: uri}}}}
	}
	b.add(id, out)
}
