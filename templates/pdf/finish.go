package pdf

import (
	"fmt"
	"strconv"

	"philtrum/templates/layout"
	"philtrum/templates/text"
)

// finisher makes the file of a paper from its drawn pages.
type finisher struct {
	press *Press
	r     *layout.Result
	fonts []text.Font
	used  []bool
	info  Info
	src   *drawn
	a     assembler
	pages []int // object number of each page in the new file

	// Of a file with room for a signature: its field in the structure, the number of that element and of the
	// field itself.
	field        *layout.Element
	form, widget int
	held         []int       // numbers of the attachments' specifications
	fields       *formWriter // of a form on a screen; nil: none
}

// numbers of the objects that others refer to.
type numbers struct {
	catalog, info, pages, resources, metadata, intent, profile, tree, outlines int
	form                                                                       int // 0: none
	widget, files                                                              int // 0: none
}

func (f *finisher) finish(out *scratch) error {
	f.a = assembler{press: f.press, out: out, places: make([]place, 1, 256)}
	version := "1.4"
	if f.info.Profile != PDFA1b {
		version = "1.7"
		f.a.packed = f.press.buffer()
		defer f.press.release(f.a.packed)
	}
	// The second line tells transfer programs that the file is binary (ISO 19005, 6.1.2).
	out.b = append(out.b, "%PDF-"+version+"\n%\xE2\xE3\xCF\xD3\n"...)

	var n numbers
	for _, p := range []*int{&n.catalog, &n.info, &n.pages, &n.resources, &n.metadata, &n.intent, &n.profile, &n.tree} {
		*p = f.a.reserve()
	}
	if f.info.Signature != nil {
		n.widget, f.field = f.a.reserve(), &layout.Element{Type: "Form"}
		f.widget = n.widget
	}
	if f.info.Form != nil {
		f.gatherForm()
	}
	fonts, err := f.writeFonts()
	if err != nil {
		return err
	}
	if err := f.writePages(n, fonts); err != nil {
		return err
	}
	f.writeTree(n)
	n.outlines = f.writeOutline()
	f.a.stream(n.metadata, "/Type/Metadata/Subtype/XML", f.metadata())
	f.a.stream(n.profile, "/N 3", colourProfile())
	f.a.object(n.intent, func(b []byte) []byte {
		b = append(b, "<</Type/OutputIntent/S/GTS_PDFA1/OutputConditionIdentifier(sRGB IEC61966-2.1)/Info(sRGB IEC61966-2.1)/DestOutputProfile "...)
		return append(appendRef(b, n.profile), ">>"...)
	})
	if n.files, err = f.writeAttachments(); err != nil {
		return err
	}
	if f.info.Signature != nil {
		f.writeSignature(n.widget)
	}
	if f.fields != nil {
		if n.form, err = f.fields.write(); err != nil {
			return err
		}
	}
	f.writeCatalog(n)
	f.a.object(n.info, f.documentInfo)
	return f.a.end(n.catalog, n.info)
}

func (f *finisher) writePages(n numbers, fonts []byte) error {
	if len(f.src.pages) != len(f.r.Pages) {
		return fmt.Errorf("pdf: %d pages drawn of %d", len(f.src.pages), len(f.r.Pages))
	}
	f.pages = make([]int, len(f.src.pages))
	for i := range f.pages {
		f.pages[i] = f.a.reserve()
	}
	for i, num := range f.pages {
		content := f.a.reserve()
		if err := f.a.deflated(content, "", f.src.content[i]); err != nil {
			return err
		}
		f.a.object(num, func(b []byte) []byte {
			b = appendRef(append(b, "<</Type/Page/Parent "...), n.pages)
			b = appendRef(append(b, "/Resources "...), n.resources)
			b = f.appendMediaBox(b)
			b = appendRef(append(b, "/Contents "...), content)
			if f.info.Profile != PDFA1b { // PDF 1.4 has no such entry
				b = append(b, "/Tabs/S"...)
			}
			if i == 0 && n.widget != 0 {
				b = append(appendRef(append(b, "/Annots["...), n.widget), ']')
			}
			if f.fields != nil {
				b = f.fields.appendAnnotations(b, i+1)
			}
			b = append(b, "/StructParents "...)
			return append(strconv.AppendInt(b, int64(i), 10), ">>"...)
		})
	}
	f.a.object(n.pages, func(b []byte) []byte { return appendPageTree(b, f.pages) })
	f.a.object(n.resources, func(b []byte) []byte {
		b = append(b, "<</ProcSet[/PDF/Text]/Font<<"...)
		return append(append(b, fonts...), ">>>>"...)
	})
	return nil
}

// appendPageTree appends the tree of pages, which is flat.
func appendPageTree(b []byte, pages []int) []byte {
	b = strconv.AppendInt(append(b, "<</Type/Pages/Count "...), int64(len(pages)), 10)
	b = append(b, "/Kids["...)
	for _, num := range pages {
		b = append(appendRef(b, num), ' ')
	}
	return append(b, "]>>"...)
}

func (f *finisher) appendMediaBox(b []byte) []byte {
	b = append(b, "/MediaBox[0 0 "...)
	b = append(appendLength(b, f.r.Sheet.Width), ' ')
	return append(appendLength(b, f.r.Sheet.Height), ']')
}

func (f *finisher) writeCatalog(n numbers) {
	f.a.object(n.catalog, func(b []byte) []byte {
		b = appendRef(append(b, "<</Type/Catalog/Pages "...), n.pages)
		b = appendRef(append(b, "/Metadata "...), n.metadata)
		b = appendRef(append(b, "/OutputIntents["...), n.intent)
		b = appendRef(append(b, "]/StructTreeRoot "...), n.tree)
		b = append(b, "/MarkInfo<</Marked true>>/ViewerPreferences<</DisplayDocTitle true"...)
		if f.r.Direction == layout.RightToLeft {
			b = append(b, "/Direction/R2L"...)
		}
		b = appendTextString(append(b, ">>/Lang"...), f.r.Lang)
		if n.outlines != 0 {
			b = appendRef(append(b, "/Outlines "...), n.outlines)
		}
		if n.files != 0 {
			b = f.appendHeld(b, n.files)
		}
		if n.form != 0 {
			b = appendRef(append(b, "/AcroForm "...), n.form)
		}
		if n.widget != 0 {
			// SigFlags: there is a signature, and changes are to be appended (ISO 32000-1, 12.7.2).
			b = append(appendRef(append(b, "/AcroForm<</Fields["...), n.widget), "]/SigFlags 3>>"...)
		}
		return append(b, ">>"...)
	})
}
