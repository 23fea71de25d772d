package device

import "strings"

// identifier is a row of the table of application identifiers.
type identifier struct {
	// Format as the GS1 General Specifications write it: N digits, X characters of set 82, D a date YYMMDD
	// whose day may be 00; a number is a fixed length, ".." goes before the greatest. A second
	// part may be absent unless its least length stands before the dots.
	Format string
	Check  bool     // the last of 14, 18 or 13 digits checks the others
	Needs  []string // one of these must stand beside it; "00+02" asks for both
	Not    []string // none of these may stand beside it
}

var (
	item     = []string{"01", "02", "03", "8006", "8026"}
	itemDate = []string{"01", "02", "03", "255", "8006", "8026"}
	trade    = []string{"01"}
	serialOf = []string{"01", "03", "8006"}
)

// identifiers are the application identifiers that may stand on a device, a medicine or their packages.
//
// Formats are those of the GS1 Barcode Syntax Dictionary (read; testdata holds them). What must or may not
// stand together is given for what a device carries, from the same source.
var identifiers = map[string]identifier{
	"00":   {Format: "N18", Check: true},
	"01":   {Format: "N14", Check: true, Not: []string{"37", "255"}},
	"02":   {Format: "N14", Check: true},
	"03":   {Format: "N14", Check: true},
	"10":   {Format: "X..20", Needs: item},
	"11":   {Format: "D6", Needs: item},
	"12":   {Format: "D6"},
	"13":   {Format: "D6", Needs: item},
	"15":   {Format: "D6", Needs: item},
	"16":   {Format: "D6", Needs: item},
	"17":   {Format: "D6", Needs: itemDate},
	"20":   {Format: "N2"},
	"21":   {Format: "X..20", Needs: serialOf, Not: []string{"235"}},
	"22":   {Format: "X..20", Needs: trade},
	"235":  {Format: "X..28", Needs: trade},
	"240":  {Format: "X..30", Needs: item},
	"241":  {Format: "X..30"},
	"242":  {Format: "N..6"},
	"243":  {Format: "X..20", Needs: trade},
	"250":  {Format: "X..30", Needs: []string{"01+21", "03+21", "8006+21"}},
	"251":  {Format: "X..30"},
	"253":  {Format: "N13X..17"},
	"254":  {Format: "X..20"},
	"255":  {Format: "N13N..12"},
	"30":   {Format: "N..8", Needs: []string{"01", "02"}},
	"37":   {Format: "N..8", Needs: []string{"00+02", "00+8026"}},
	"400":  {Format: "X..30"},
	"401":  {Format: "X..30"},
	"402":  {Format: "N17", Check: true},
	"403":  {Format: "X..30"},
	"410":  {Format: "N13", Check: true},
	"411":  {Format: "N13", Check: true},
	"412":  {Format: "N13", Check: true},
	"413":  {Format: "N13", Check: true},
	"414":  {Format: "N13", Check: true},
	"415":  {Format: "N13", Check: true},
	"416":  {Format: "N13", Check: true},
	"417":  {Format: "N13", Check: true},
	"420":  {Format: "X..20"},
	"421":  {Format: "N3X1..9"},
	"422":  {Format: "N3"},
	"7001": {Format: "N13"},
	"7003": {Format: "N10"},
	"7004": {Format: "N..4"},
	"7020": {Format: "X..20"},
	"7021": {Format: "X..20"},
	"7022": {Format: "X..20"},
	"7023": {Format: "X..30"},
	"7005": {Format: "X..12"},
	"7006": {Format: "N6"},
	"7040": {Format: "N1X3"},
	"7240": {Format: "X..20"},
	"7241": {Format: "N2"},
	"7242": {Format: "X..25"},
	"710":  {Format: "X..20", Needs: trade},
	"711":  {Format: "X..20", Needs: trade},
	"712":  {Format: "X..20", Needs: trade},
	"713":  {Format: "X..20", Needs: trade},
	"714":  {Format: "X..20", Needs: trade},
	"715":  {Format: "X..20", Needs: trade},
	"716":  {Format: "X..20", Needs: trade},
	"717":  {Format: "X..20", Needs: trade},
	"8003": {Format: "N14X..16"},
	"8004": {Format: "X..30"},
	"8006": {Format: "N14N2N2"},
	"8008": {Format: "N8N..4"},
	"8009": {Format: "X..50"},
	"8010": {Format: "X..30"},
	"8012": {Format: "X..20"},
	"8013": {Format: "X..25"},
	"8014": {Format: "X..25", Needs: trade},
	"8017": {Format: "N18", Check: true},
	"8018": {Format: "N18", Check: true},
	"8019": {Format: "N..10"},
	"8020": {Format: "X..25"},
	"8026": {Format: "N14N2N2"},
	"90":   {Format: "X..30"},
	"91":   {Format: "X..90"},
	"92":   {Format: "X..90"},
	"93":   {Format: "X..90"},
	"94":   {Format: "X..90"},
	"95":   {Format: "X..90"},
	"96":   {Format: "X..90"},
	"97":   {Format: "X..90"},
	"98":   {Format: "X..90"},
	"99":   {Format: "X..90"},
}

// lookup finds the row of an identifier: its own, or that of the family whose last digit is a number of
// decimals or a place in a row.
func lookup(id string) (identifier, bool) {
	row, known := identifiers[id]
	if known || len(id) != 4 {
		return row, known
	}
	row, known = families[id[:3]]
	if !known && id[:2] >= "31" && id[:2] <= "36" && id[3] <= '5' {
		return identifier{Format: "N6"}, strings.Contains(measures, " "+id[:3]+" ")
	}
	return row, known
}

var families = map[string]identifier{
	"390": {Format: "N..15"},
	"391": {Format: "N3N1..15"},
	"392": {Format: "N..15"},
	"393": {Format: "N3N1..15"},
	"703": {Format: "N3X1..27"},
	"723": {Format: "X2X1..28"},
}

// measures are lengths, areas, weights and volumes, with their decimals as fourth digit.
const measures = " 310 311 312 313 314 315 316 320 321 322 323 324 325 326 327 328 329 330 331 332 333 334 335 336 337 " +
	"340 341 342 343 344 345 346 347 348 349 350 351 352 353 354 355 356 357 360 361 362 363 364 365 366 367 368 369 "

// predefined gives the length of an element, identifier included, by its first two digits; such an element
// needs no separator after it. GS1 General Specifications, figure of predefined lengths: which ones from the
// GS1 Barcode Syntax Dictionary (read), the lengths of those without an identifier from memory.
func predefined(two string) int {
	switch two {
	case "00":
		return 20
	case "01", "02", "03":
		return 16
	case "04":
		return 18
	case "11", "12", "13", "14", "15", "16", "17", "18", "19":
		return 8
	case "20":
		return 4
	case "31", "32", "33", "34", "35", "36":
		return 10
	case "41":
		return 16
	}
	return 0
}

// digitsOf is how many digits an identifier has that begins with two. Only identifiers that are not in the
// table ask for it; the dictionary in testdata proves it for those that are allocated.
func digitsOf(two string) int {
	switch {
	case strings.Contains(" 23 24 25 40 41 42 71 ", " "+two+" "):
		return 3
	case strings.Contains(" 31 32 33 34 35 36 39 43 70 72 80 81 82 ", " "+two+" "):
		return 4
	}
	return 2
}

// identify finds the identifier at the start of an element string; it is empty where none can stand.
func identify(s string) (id string, known bool) {
	for n := 2; n <= 4 && n <= len(s) && isDigits(s[:n]); n++ {
		if _, known := lookup(s[:n]); known {
			return s[:n], true
		}
	}
	if len(s) < 2 || !isDigits(s[:2]) {
		return "", false
	}
	if n := digitsOf(s[:2]); len(s) >= n && isDigits(s[:n]) {
		return s[:n], false
	}
	return "", false
}

// part is a piece of a format.
type part struct {
	set         byte // N, X or D
	least, most int
}

// parts takes a format of the table apart. A second part without a least length may be absent.
func parts(format string) []part {
	var list []part
	for i := 0; i < len(format); {
		p := part{set: format[i]}
		i++
		p.most, i = length(format, i)
		p.least = p.most
		if strings.HasPrefix(format[i:], "..") {
			if p.least == 0 && len(list) == 0 {
				p.least = 1
			}
			p.most, i = length(format, i+2)
		}
		list = append(list, p)
	}
	return list
}

func length(format string, i int) (n, next int) {
	for ; i < len(format) && format[i] >= '0' && format[i] <= '9'; i++ {
		n = n*10 + int(format[i]-'0')
	}
	return n, i
}

func isDigits(s string) bool {
	for _, c := range s {
		if c < '0' || c > '9' {
			return false
		}
	}
	return s != ""
}

// inSet82 says whether a character may stand in an X field: GS1 AI encodable character set 82.
func inSet82(c rune) bool {
	switch {
	case c >= '0' && c <= '9', c >= 'A' && c <= 'Z', c >= 'a' && c <= 'z':
		return true
	}
	return strings.ContainsRune("!\"%&'()*+,-./:;<=>?_", c)
}

// checks says whether the last digit checks the others: weights 3, 1, 3, … from the right.
func checks(digits string) bool {
	sum := 0
	for i := range len(digits) {
		d := int(digits[len(digits)-1-i] - '0')
		if i%2 == 1 {
			d *= 3
		}
		sum += d
	}
	return sum%10 == 0
}
