package conform

import (
	"bytes"
	"regexp"

	"philtrum/templates/pdf/read"
)

// The second line is a comment of at least four bytes above 127.
var header = regexp.MustCompile(`\A%PDF-1\.[0-7]\r?\n%[\x80-\xFF]{4,}[^\n]*\n`)

// envelope checks the bytes around the objects.
func (c *checker) envelope() {
	b := c.f.Bytes()
	// The expression counts runes; bytes above 127 are made runes of one byte each.
	if !header.MatchString(latin(b[:min(len(b), 64)])) {
		c.fail(RuleHeader, "start")
	}
	if !bytes.HasSuffix(bytes.TrimRight(b, "\r\n"), []byte("%%EOF")) {
		c.fail(RuleEnd, "end")
	}
	id := c.f.ID()
	if len(id) != 2 {
		c.fail(RuleID, "trailer")
	}
	for _, o := range id {
		if s, ok := o.(read.String); !ok || s == "" {
			c.fail(RuleID, "trailer")
		}
	}
	if c.f.Encrypted() {
		c.fail(RuleEncrypt, "trailer")
	}
}

func latin(b []byte) string {
	runes := make([]rune, len(b))
	for i, v := range b {
		runes[i] = rune(v)
	}
	return string(runes)
}

// Syntax of a language tag, RFC 5646 without its registered exceptions.
var languageTag = regexp.MustCompile(`\A[A-Za-z]{2,8}(-[A-Za-z0-9]{1,8})*\z`)

// language checks a language entry if it is there.
func (c *checker) language(o read.Object, where string) {
	if o == nil {
		return
	}
	if tag, ok := c.f.Text(o); !ok || !languageTag.MatchString(tag) {
		c.fail(RuleLanguage, "%s", where)
	}
}

// catalog checks the root of the document.
func (c *checker) catalog() {
	root := c.f.Catalog()
	info := c.f.Dict(root["MarkInfo"])
	if info["Marked"] != true || info["Suspects"] == true {
		c.fail(RuleMarked, "catalog")
	}
	if root["Lang"] == nil {
		c.fail(RuleLanguage, "catalog")
	}
	c.language(root["Lang"], "catalog")
	if c.f.Dict(root["ViewerPreferences"])["DisplayDocTitle"] != true {
		c.fail(RuleShowTitle, "catalog")
	}
	c.outputIntent(root)
	form := c.f.Dict(root["AcroForm"])
	if form["XFA"] != nil || form["NeedAppearances"] == true {
		c.fail(RuleForm, "catalog")
	}
	layers := c.f.Dict(root["OCProperties"])
	for _, o := range append(read.Array{layers["D"]}, c.f.Array(layers["Configs"])...) {
		if d := c.f.Dict(o); d != nil {
			if name, ok := c.f.Text(d["Name"]); !ok || name == "" || d["AS"] != nil {
				c.fail(RuleLayer, "catalog")
			}
		}
	}
}

// outputIntent wants one profile for the colours of a device, of three components.
func (c *checker) outputIntent(root read.Dict) {
	for _, o := range c.f.Array(root["OutputIntents"]) {
		d := c.f.Dict(o)
		s, ok := c.f.Resolve(d["DestOutputProfile"]).(*read.Stream)
		if !ok || c.f.Name(d["S"]) != "GTS_PDFA1" || s.Dict["N"] != 3 {
			continue
		}
		b, err := s.Data()
		if err == nil && len(b) > 128 && string(b[36:40]) == "acsp" && string(b[16:20]) == "RGB " {
			return
		}
	}
	c.fail(RuleIntent, "catalog")
}
