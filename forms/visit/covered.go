package visit

import (
	"slices"

	"philtrum/forms/measure"
	"philtrum/forms/source"
)

// Node is the entry of covers; nil for what was not recorded.
func (s *Scope) Node() *source.Node {
	if s == nil {
		return nil
	}
	lidocaine := "no"
	if s.Lidocaine {
		lidocaine = "yes"
	}
	return source.Map("zones", texts(s.Zones), "greatest", volume(s.Greatest, ""), "classes", texts(s.Classes),
		"lidocaine", text(lidocaine), "instruments", texts(s.Instruments))
}

func (v reader) covers(n *source.Node) *Scope {
	if n == nil || n.Kind == source.Empty {
		return nil
	}
	f, words := v.Fields(n, "zones", "greatest", "classes", "lidocaine", "instruments"), Lists()
	return &Scope{
		Zones: v.zones(f.Get("zones"), words), Greatest: v.Volume(f.Get("greatest")), Classes: v.words(f.Get("classes"), Classes),
		Lidocaine: v.YesNo(f.Get("lidocaine")), Instruments: v.words(f.Get("instruments"), words.Instruments),
	}
}

// Signed is what the standing consent covers: what was recorded when it was given. It is false where nobody
// consented, where consent was taken back, and where nothing was recorded of its extent.
func (v Visit) Signed() (Scope, bool) {
	change, ok := v.Consented()
	if !ok || change.Covers == nil {
		return Scope{}, false
	}
	return *change.Covers, true
}

// Printed is what the paper of a consent was printed for: that of the document, or else the plan as it is.
func (v Visit) Printed(document string) *Scope {
	for _, p := range v.Papers {
		if p.Document == document && p.Covers != nil && document != "" {
			return p.Covers
		}
	}
	now := v.Plan.Scope()
	return &now
}

// Beyond lists what is planned outside a consent that was given, the planned product included. line gives a
// product line.
func (p Plan) Beyond(signed Scope, line func(product string) Line) []Finding {
	var found []Finding
	add := func(id string, args map[string]any) {
		found = append(found, Finding{ID: id, Args: args, Span: p.Span})
	}
	for _, zone := range p.Zones {
		if !Lists().Covers(signed.Zones, zone) {
			add("scope.zone", map[string]any{"zone": Word{"zone", zone}})
		}
	}
	if p.Greatest.Cmp(signed.Greatest) > 0 {
		add("scope.volume", map[string]any{"planned": p.Greatest, "signed": signed.Greatest})
	}
	product := line(p.Product)
	classes := slices.Clone(p.Classes)
	if product.Known && !slices.Contains(classes, product.Class) {
		classes = append(classes, product.Class)
	}
	for _, class := range classes {
		if !slices.Contains(signed.Classes, class) {
			add("scope.class", map[string]any{"class": Word{"class", class}})
		}
	}
	if (p.Lidocaine || product.Lidocaine) && !signed.Lidocaine {
		add("scope.lidocaine", map[string]any{})
	}
	for _, i := range p.Instruments {
		if !slices.Contains(signed.Instruments, i) {
			add("scope.instrument", map[string]any{"instrument": Word{"instrument", i}})
		}
	}
	return found
}

// Misfits lists what of the planned product does not fit the plan itself: a consent printed for such a plan
// would not cover its own product.
func (p Plan) Misfits(line func(product string) Line) []Finding {
	var found []Finding
	add := func(id string, args map[string]any) {
		found = append(found, Finding{ID: id, Args: args, Span: p.Span})
	}
	product := line(p.Product)
	switch {
	case p.Product == "":
	case !product.Known:
		add("scope.product_unknown", map[string]any{})
	default:
		if len(p.Classes) > 0 && !slices.Contains(p.Classes, product.Class) {
			add("scope.product_class", map[string]any{"class": Word{"class", product.Class}})
		}
		if product.Lidocaine && p.LidocaineSaid && !p.Lidocaine {
			add("scope.product_lidocaine", map[string]any{})
		}
	}
	return found
}

// AskReason is the finding that more is planned for one session than the figure from which the clinic asks for a
// reason, and none is given. A figure of nothing asks for none.
func (p Plan) AskReason(above measure.Volume) []Finding {
	if above.IsZero() || p.Greatest.Cmp(above) <= 0 || p.VolumeReason != "" {
		return nil
	}
	return []Finding{{ID: "scope.reason", Args: map[string]any{"planned": p.Greatest, "above": above}, Span: p.Span}}
}
