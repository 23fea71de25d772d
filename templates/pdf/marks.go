package pdf

import (
	"fmt"

	"philtrum/templates/layout"
)

// owner is what the content of a page needs to know of the element that a mark belongs to.
type owner struct {
	element *layout.Element
	lang    string // in effect, inherited from the parents
}

// ownersOf maps every mark of every page to its element. Each must have exactly one.
func ownersOf(r *layout.Result) ([][]owner, error) {
	marks := make([][]owner, len(r.Pages))
	total := 0
	for i := range r.Pages {
		total += r.Pages[i].Marks
	}
	all := make([]owner, total)
	for i := range r.Pages {
		n := r.Pages[i].Marks
		marks[i], all = all[:n:n], all[n:]
	}
	if err := own(marks, r.Root, r.Lang); err != nil {
		return nil, err
	}
	for i, page := range marks {
		for n, o := range page {
			if o.element == nil {
				return nil, fmt.Errorf("pdf: mark %d of page %d belongs to no element", n, i+1)
			}
		}
	}
	return marks, nil
}

func own(marks [][]owner, e *layout.Element, lang string) error {
	if e.Lang != "" {
		lang = e.Lang
	}
	for _, k := range e.Kids {
		if k.Element != nil {
			if err := own(marks, k.Element, lang); err != nil {
				return err
			}
			continue
		}
		if k.Page < 1 || k.Page > len(marks) || k.Mark < 0 || k.Mark >= len(marks[k.Page-1]) {
			return fmt.Errorf("pdf: element %s has mark %d of page %d, which does not exist", e.Type, k.Mark, k.Page)
		}
		o := &marks[k.Page-1][k.Mark]
		if o.element != nil {
			return fmt.Errorf("pdf: mark %d of page %d belongs to two elements", k.Mark, k.Page)
		}
		*o = owner{e, lang}
	}
	return nil
}
