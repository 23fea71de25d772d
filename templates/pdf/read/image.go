package read

// Raw gives the data of a stream as it stands in the file, and the names of the filters that made it, the
// outermost first.
func (s *Stream) Raw() (data []byte, filters []Name) {
	for _, f := range s.sd.FilterPipeline {
		filters = append(filters, Name(f.Name))
	}
	return s.sd.Raw, filters
}

// Box is a page's crop box or else its media box, in points, the lower left corner first, inherited ones included
// (ISO 32000-1, 7.7.3.4). ok is false for a page without any.
func (f *File) Box(p Page) (box [4]float64, ok bool) {
	for _, key := range []Name{"CropBox", "MediaBox"} {
		node := p.Dict
		for range maxDepth {
			if box, ok := f.rectangle(node[key]); ok {
				return box, true
			}
			if node = f.Dict(node["Parent"]); node == nil {
				break
			}
		}
	}
	return box, false
}

func (f *File) rectangle(o Object) (box [4]float64, ok bool) {
	a := f.Array(o)
	if len(a) != 4 {
		return box, false
	}
	for i := range a {
		if box[i], ok = f.Number(a[i]); !ok {
			return box, false
		}
	}
	if box[0] > box[2] {
		box[0], box[2] = box[2], box[0]
	}
	if box[1] > box[3] {
		box[1], box[3] = box[3], box[1]
	}
	return box, box[0] < box[2] && box[1] < box[3]
}
