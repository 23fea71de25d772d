package read

// UnicodeMap reads a ToUnicode CMap (ISO 32000-1, 9.10.3) and gives the text of each two-byte code.
// Ranges beyond 65,536 codes are cut off.
func UnicodeMap(cmap []byte) (map[int]string, error) {
	l := lexer{b: cmap}
	texts := make(map[int]string)
	var operands []Object
	for {
		o, word, err := l.next(0)
		switch {
		case err != nil:
			return nil, err
		case l.done:
			return texts, nil
		case word == "":
			operands = append(operands, o)
			continue
		case word == "endbfchar":
			for i := 0; i+1 < len(operands); i += 2 {
				code, _ := operands[i].(String)
				text, _ := operands[i+1].(String)
				texts[number(code)] = utf16Text(text)
			}
		case word == "endbfrange":
			for i := 0; i+2 < len(operands); i += 3 {
				addRange(texts, operands[i], operands[i+1], operands[i+2])
			}
		}
		operands = nil
	}
}

func addRange(texts map[int]string, from, to, text Object) {
	low, _ := from.(String)
	high, _ := to.(String)
	first, last := number(low), min(number(high), 0xFFFF)
	switch v := text.(type) {
	case Array:
		for i, o := range v {
			if s, ok := o.(String); ok && first+i <= last {
				texts[first+i] = utf16Text(s)
			}
		}
	case String:
		for code := first; code <= last; code++ {
			s := []byte(v)
			if n := len(s); n > 0 {
				s[n-1] += byte(code - first)
			}
			texts[code] = utf16Text(String(s))
		}
	}
}

func number(s String) int {
	n := 0
	for i := range len(s) {
		n = n<<8 | int(s[i])
		if n > 0xFFFF {
			return 0xFFFF
		}
	}
	return n
}
