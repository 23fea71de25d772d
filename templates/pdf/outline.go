package pdf

import (
	"strconv"

	"philtrum/templates/layout"
)

// bookmark is an entry of the outline with its neighbours, as object numbers; zero is none.
type bookmark struct {
	num, parent, prev, next, first, last int
	count                                int // entries below it, all of them open
}

// writeOutline writes the bookmarks and gives the number of their root, zero without any. An entry hangs
// from the nearest one before it of a lower level, whatever levels are skipped.
func (f *finisher) writeOutline() int {
	entries := f.r.Outline
	if len(entries) == 0 {
		return 0
	}
	marks := make([]bookmark, len(entries)+1) // the first is the root
	for i := range marks {
		marks[i].num = f.a.reserve()
	}
	last := make([]int, len(marks)) // index of each one's last child, zero none
	path := []int{0}
	for i := range entries {
		n := i + 1
		for len(path) > 1 && entries[path[len(path)-1]-1].Level >= entries[i].Level {
			path = path[:len(path)-1]
		}
		up := path[len(path)-1]
		marks[n].parent = marks[up].num
		if before := last[up]; before != 0 {
			marks[n].prev, marks[before].next = marks[before].num, marks[n].num
		} else {
			marks[up].first = marks[n].num
		}
		last[up], marks[up].last = n, marks[n].num
		for _, above := range path {
			marks[above].count++
		}
		path = append(path, n)
	}
	f.a.object(marks[0].num, func(b []byte) []byte {
		return append(appendBelow(append(b, "<</Type/Outlines"...), &marks[0]), ">>"...)
	})
	for i := range entries {
		f.writeBookmark(&entries[i], &marks[i+1])
	}
	return marks[0].num
}

func (f *finisher) writeBookmark(e *layout.OutlineEntry, m *bookmark) {
	page := min(max(e.Page, 1), len(f.pages))
	f.a.object(m.num, func(b []byte) []byte {
		b = appendTextString(append(b, "<</Title"...), cut(e.Text))
		b = appendRef(append(b, "/Parent "...), m.parent)
		if m.prev != 0 {
			b = appendRef(append(b, "/Prev "...), m.prev)
		}
		if m.next != 0 {
			b = appendRef(append(b, "/Next "...), m.next)
		}
		b = appendBelow(b, m)
		b = appendRef(append(b, "/Dest["...), f.pages[page-1])
		b = append(b, "/XYZ null "...)
		b = appendLength(b, f.r.Sheet.Height-e.Y)
		return append(b, " null]>>"...)
	})
}

func appendBelow(b []byte, m *bookmark) []byte {
	if m.count == 0 {
		return b
	}
	b = appendRef(append(b, "/First "...), m.first)
	b = appendRef(append(b, "/Last "...), m.last)
	return strconv.AppendInt(append(b, "/Count "...), int64(m.count), 10)
}
