// Package read opens finished and foreign PDF files.
//
// It hides the reading library behind plain values: see [Object]. A foreign file may be made to harm its
// reader, so callers give one a process and a deadline of its own; this package only turns panics into
// errors.
package read

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"sort"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// File is an opened file. It is not changed by reading and belongs to one goroutine.
type File struct {
	bytes []byte
	ctx   *model.Context
	cache map[int]Object
	pages []Page
}

// Page is a page with what it inherits from the page tree.
type Page struct {
	Ref       Ref
	Dict      Dict
	Resources Dict
}

// Open reads the file's cross-reference tables and objects. Errors say in the library's words what does
// not parse; they may hold bytes of the file and must not be logged for patients' papers.
func Open(b []byte) (f *File, err error) {
	defer rescue(&err)
	conf := &model.Configuration{
		Reader15: true, ValidationMode: model.ValidationRelaxed, Offline: true, Limits: model.DefaultResourceLimits(),
	}
	ctx, err := api.ReadContext(bytes.NewReader(b), conf)
	if err != nil {
		return nil, fmt.Errorf("read: %w", err)
	}
	if ctx.Root == nil {
		return nil, errors.New("read: no catalog")
	}
	f = &File{bytes: b, ctx: ctx, cache: make(map[int]Object)}
	return f, f.walkPages(f.Dict(f.Catalog()["Pages"]), Dict{}, Ref{}, make(map[Ref]bool))
}

func rescue(err *error) {
	if v := recover(); v != nil {
		*err = fmt.Errorf("read: the reader gave up: %v", v)
	}
}

// Bytes are the bytes of the file.
func (f *File) Bytes() []byte { return f.bytes }

// Catalog is the root of the document.
func (f *File) Catalog() Dict { return f.Dict(Ref{Number: int(f.ctx.Root.ObjectNumber)}) }

// Info is the document information dictionary, nil without one.
func (f *File) Info() Dict {
	if f.ctx.Info == nil {
		return nil
	}
	return f.Dict(Ref{Number: int(f.ctx.Info.ObjectNumber)})
}

// ID holds the two identifiers of the trailer; nil without them.
func (f *File) ID() Array {
	a, _ := f.convert(f.ctx.ID).(Array)
	return a
}

// Encrypted says whether the file is encrypted.
func (f *File) Encrypted() bool { return f.ctx.Encrypt != nil }

// Pages are the pages in order.
func (f *File) Pages() []Page { return f.pages }

// maxDepth bounds every walk that follows references.
const maxDepth = 64

func (f *File) walkPages(node, inherited Dict, ref Ref, seen map[Ref]bool) error {
	if len(seen) > maxDepth*1024 {
		return errors.New("read: page tree too large")
	}
	resources := inherited
	if d := f.Dict(node["Resources"]); d != nil {
		resources = d
	}
	if kids := f.Array(node["Kids"]); kids != nil {
		for _, k := range kids {
			r, ok := k.(Ref)
			if !ok || seen[r] {
				return errors.New("read: broken page tree")
			}
			seen[r] = true
			if err := f.walkPages(f.Dict(r), resources, r, seen); err != nil {
				return err
			}
		}
		return nil
	}
	if node != nil && f.Name(node["Type"]) == "Page" {
		f.pages = append(f.pages, Page{Ref: ref, Dict: node, Resources: resources})
	}
	return nil
}

// Content is the decoded content of a page; several streams are joined by a line end.
func (f *File) Content(p Page) ([]byte, error) {
	switch c := f.Resolve(p.Dict["Contents"]).(type) {
	case *Stream:
		return c.Data()
	case Array:
		var all []byte
		for _, o := range c {
			s, ok := f.Resolve(o).(*Stream)
			if !ok {
				return nil, errors.New("read: content is no stream")
			}
			b, err := s.Data()
			if err != nil {
				return nil, err
			}
			all = append(append(all, b...), '\n')
		}
		return all, nil
	case nil:
		return nil, nil
	}
	return nil, errors.New("read: content is no stream")
}

// Numbers are the numbers of all objects in use, ascending.
func (f *File) Numbers() []int {
	var all []int
	for n, e := range f.ctx.Table {
		if e != nil && !e.Free && n > 0 {
			all = append(all, n)
		}
	}
	sort.Ints(all)
	return all
}

// Resolve follows references until there is a value; a dangling one gives nil.
func (f *File) Resolve(o Object) Object {
	for range maxDepth {
		r, ok := o.(Ref)
		if !ok {
			return o
		}
		o = f.object(r.Number)
	}
	return nil
}

func (f *File) object(n int) Object {
	if o, ok := f.cache[n]; ok {
		return o
	}
	e, ok := f.ctx.Find(n)
	if !ok || e == nil || e.Free {
		return nil
	}
	o := f.convert(e.Object)
	f.cache[n] = o
	return o
}

// convert turns the library's object into one of ours.
func (f *File) convert(o types.Object) Object {
	switch v := o.(type) {
	case types.Boolean:
		return bool(v)
	case types.Integer:
		return int(v)
	case types.Float:
		return float64(v)
	case types.Name:
		return Name(v)
	case types.StringLiteral:
		if b, err := types.Unescape(string(v)); err == nil {
			return String(b)
		}
		return String(v)
	case types.HexLiteral:
		b, err := v.Bytes()
		if err != nil {
			return nil
		}
		return String(b)
	case types.IndirectRef:
		return Ref{Number: int(v.ObjectNumber)}
	case types.LazyObjectStreamObject:
		// Objects of an object stream are parsed when they are first asked for.
		d, err := v.DecodedObject(context.Background())
		if _, again := d.(types.LazyObjectStreamObject); err != nil || again {
			return nil
		}
		return f.convert(d)
	case types.Array:
		a := make(Array, len(v))
		for i := range v {
			a[i] = f.convert(v[i])
		}
		return a
	case types.Dict:
		return f.dict(v)
	case types.StreamDict:
		return &Stream{Dict: f.dict(v.Dict), sd: &v}
	case *types.StreamDict:
		return &Stream{Dict: f.dict(v.Dict), sd: v}
	case types.ObjectStreamDict:
		return &Stream{Dict: f.dict(v.Dict), sd: &v.StreamDict}
	case types.XRefStreamDict:
		return &Stream{Dict: f.dict(v.Dict), sd: &v.StreamDict}
	}
	return nil
}

func (f *File) dict(v types.Dict) Dict {
	d := make(Dict, len(v))
	for k, o := range v {
		d[Name(k)] = f.convert(o)
	}
	return d
}
