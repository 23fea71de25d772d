package exchange

import (
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"strings"
	"time"
	"unicode"
)

// id is a UUID of version 8 (RFC 9562: of one's own making) that says nothing of what it names: the visit's salt
// enters it, so that nobody can guess from it what was erased.
func (b *builder) id(kind, key string) string { return uuid(b.r.Visit.Salt, kind, key) }

func uuid(parts ...string) string {
	sum := sha256.Sum256([]byte("philtrum fhir\n" + strings.Join(parts, "\n")))
	u := sum[:16]
	u[6] = u[6]&0x0f | 0x80
	u[8] = u[8]&0x3f | 0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", u[:4], u[4:6], u[6:8], u[8:10], u[10:])
}

// digestURI names content by its SHA-256 (RFC 6920).
func digestURI(hexadecimal string) string {
	raw, err := hex.DecodeString(hexadecimal)
	if err != nil || len(raw) != sha256.Size {
		return ""
	}
	return "ni:///sha-256;" + base64.RawURLEncoding.EncodeToString(raw)
}

// languageTag is s where it has the form of a BCP 47 tag, else empty.
func languageTag(s string) string {
	if !published().language.MatchString(s) {
		return ""
	}
	return s
}

// clean makes a text fit a FHIR string: no control characters but line ends and tabs, and no other space than the
// ASCII one, which readers disagree about. A separator of a code stays visible by its number.
func clean(s string) string {
	out := strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r':
			return r
		case unicode.IsSpace(r) || r == '\ufeff':
			return ' '
		case r < 0x20 || r == 0x7f:
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
	return strings.TrimSpace(out)
}

// visible is clean for codes, whose control characters mean something.
func visible(s string) string {
	var out strings.Builder
	for _, r := range s {
		switch {
		case r == 0x1d:
			out.WriteString("<GS>")
		case r < 0x20:
			fmt.Fprintf(&out, "<%d>", r)
		default:
			out.WriteRune(r)
		}
	}
	return clean(out.String())
}

// instant is a time as FHIR writes it, to the second, in the clinic's zone; empty for no time.
func (b *builder) instant(t time.Time) string {
	if t.IsZero() || t.Year() < 1 || t.Year() > 9999 {
		return ""
	}
	zone := b.r.Clinic.Zone
	if zone == nil {
		zone = time.UTC
	}
	return t.In(zone).Format("2006-01-02T15:04:05Z07:00")
}

// word is a message of the bundle's language, or the id's last part where there is none: the code as it was typed.
func (b *builder) word(id string) string {
	if w := b.r.Words.Word(id); w != "" {
		return clean(w)
	}
	return clean(id[strings.LastIndexByte(id, '.')+1:])
}

// term is a word of the trade, or the code as it was typed.
func (b *builder) term(kind, code string) string {
	if code == "" {
		return ""
	}
	if w := b.r.Words.Word("term." + kind + "." + code); w != "" {
		return clean(w)
	}
	return clean(code)
}

func (b *builder) concept(id string) *concept { return textual(b.word(id)) }

func textual(text string) *concept {
	if text = clean(text); text == "" {
		return nil
	}
	return &concept{Text: text}
}

func concepts(texts ...string) []concept {
	var all []concept
	for _, t := range texts {
		if c := textual(t); c != nil {
			all = append(all, *c)
		}
	}
	return all
}

func coded(system, code string) *concept {
	return &concept{Coding: []coding{{System: system, Code: code}}}
}

func to(ref string) *reference {
	if ref == "" {
		return nil
	}
	return &reference{Reference: ref}
}

func many(refs ...string) []reference {
	var all []reference
	for _, r := range refs {
		if r != "" {
			all = append(all, reference{Reference: r})
		}
	}
	return all
}

func notes(texts ...string) []annotation {
	var all []annotation
	for _, t := range texts {
		if t = clean(t); t != "" {
			all = append(all, annotation{Text: t})
		}
	}
	return all
}
