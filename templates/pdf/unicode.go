package pdf

import (
	"strconv"
	"sync"
	"weak"

	"philtrum/templates/text"
)

// mapCache keeps the finished ToUnicode maps of fonts that come again, those of template text. A font is
// known by the memory of its texts, and weakly: a font of values is met once, so nothing of it is kept.
type mapCache struct {
	mu   sync.Mutex
	made map[mapKey][]byte // nil: met once
}

type mapKey struct {
	texts weak.Pointer[string]
	count int
}

const maxMaps = 256

// get gives a map, or says whether the font has come a second time and its map is worth keeping.
func (c *mapCache) get(key mapKey) (b []byte, again bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	b, again = c.made[key]
	if !again {
		if c.made == nil || len(c.made) >= maxMaps {
			c.made = make(map[mapKey][]byte)
		}
		c.made[key] = nil
	}
	return b, again
}

func (c *mapCache) put(key mapKey, b []byte) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if len(c.made) < maxMaps {
		c.made[key] = b
	}
}

// writeUnicode writes the map from the codes of t to their texts.
func (f *finisher) writeUnicode(num int, t *text.Font) error {
	const filter = "/Filter/FlateDecode"
	if len(t.Unicode) == 0 {
		return f.a.deflated(num, "", appendToUnicode(nil, nil))
	}
	key := mapKey{weak.Make(&t.Unicode[0]), len(t.Unicode)}
	made, again := f.press.maps.get(key)
	if made != nil {
		f.a.stream(num, filter, made)
		return nil
	}
	plain, packed := f.press.buffer(), f.press.buffer()
	defer f.press.release(plain)
	defer f.press.release(packed)
	plain.b = appendToUnicode(plain.b, t.Unicode)
	if err := f.press.deflate(packed, plain.b); err != nil {
		return err
	}
	if again {
		f.press.maps.put(key, append([]byte(nil), packed.b...))
	}
	f.a.stream(num, filter, packed.b)
	return nil
}

// appendToUnicode appends a CMap (ISO 32000-1, 9.10.3) from codes to the text that they show.
func appendToUnicode(b []byte, texts []string) []byte {
	b = append(b, `/CIDInit /ProcSet findresource begin
12 dict begin
begincmap
/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def
/CMapName /Adobe-Identity-UCS def
/CMapType 2 def
1 begincodespacerange
<0000> <FFFF>
endcodespacerange
`...)
	// A block holds a hundred entries at most.
	const block = 100
	codes := make([]int, 0, len(texts))
	for code, s := range texts {
		if s != "" {
			codes = append(codes, code)
		}
	}
	for len(codes) > 0 {
		n := min(block, len(codes))
		b = strconv.AppendInt(b, int64(n), 10)
		b = append(b, " beginbfchar\n"...)
		for _, code := range codes[:n] {
			b = append(b, '<')
			b = appendHex16(b, uint16(code))
			b = append(b, "> <"...)
			b = appendUTF16Hex(b, texts[code])
			b = append(b, ">\n"...)
		}
		b = append(b, "endbfchar\n"...)
		codes = codes[n:]
	}
	return append(b, "endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"...)
}
