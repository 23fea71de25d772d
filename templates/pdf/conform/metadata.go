package conform

import (
	"bytes"
	"encoding/xml"
	"regexp"
	"strings"
	"unicode/utf8"

	"philtrum/templates/pdf/read"
)

// Namespaces of XMP (ISO 16684-1) and of the archival schemas.
const (
	nsRDF       = "http://www.w3.org/1999/02/22-rdf-syntax-ns#"
	nsDC        = "http://purl.org/dc/elements/1.1/"
	nsXMP       = "http://ns.adobe.com/xap/1.0/"
	nsPDF       = "http://ns.adobe.com/pdf/1.3/"
	nsMM        = "http://ns.adobe.com/xap/1.0/mm/"
	nsA         = "http://www.aiim.org/pdfa/ns/id/"
	nsUA        = "http://www.aiim.org/pdfua/ns/id/"
	nsExtension = "http://www.aiim.org/pdfa/ns/extension/"
	nsSchema    = "http://www.aiim.org/pdfa/ns/schema#"
)

// known are the schemas that need no declaration.
var known = map[string]bool{nsRDF: true, nsDC: true, nsXMP: true, nsPDF: true, nsMM: true, nsA: true, nsExtension: true}

// packet is what a metadata stream says: texts by namespace and property.
type packet struct {
	texts    map[xml.Name]string
	spaces   map[string]bool // namespaces of properties
	declared map[string]bool // namespaces that an extension schema describes
}

// metadata checks the metadata stream and that the information dictionary agrees.
func (c *checker) metadata() {
	s, ok := c.f.Resolve(c.f.Catalog()["Metadata"]).(*read.Stream)
	if !ok {
		for _, rule := range []string{RuleMetadata, RuleTitle, RuleUAID, RuleAID} {
			c.fail(rule, "catalog")
		}
		return
	}
	b, err := s.Data()
	p, parsed := parsePacket(b)
	if err != nil || !parsed || c.f.Name(s.Dict["Subtype"]) != "XML" || badPacketHeader(b) {
		c.fail(RuleMetadata, "metadata")
	}
	if strings.TrimSpace(p.texts[xml.Name{Space: nsDC, Local: "title"}]) == "" {
		c.fail(RuleTitle, "metadata")
	}
	if p.texts[xml.Name{Space: nsUA, Local: "part"}] != "1" {
		c.fail(RuleUAID, "metadata")
	}
	c.part = p.texts[xml.Name{Space: nsA, Local: "part"}]
	level := p.texts[xml.Name{Space: nsA, Local: "conformance"}]
	switch c.part + level {
	case "1B":
		if s.Dict["Filter"] != nil {
			c.fail(RuleMetadata, "metadata")
		}
	case "2U", "3U":
	default:
		c.fail(RuleAID, "metadata")
	}
	for space := range p.spaces {
		if !known[space] && !p.declared[space] {
			c.fail(RuleExtension, "%s", space)
		}
	}
	c.agree(p)
}

// badPacketHeader finds the attributes that archival files may not use.
func badPacketHeader(b []byte) bool {
	head, _, ok := bytes.Cut(b, []byte("?>"))
	return !ok || !utf8.Valid(b) || !bytes.HasPrefix(head, []byte("<?xpacket ")) ||
		bytes.Contains(head, []byte("bytes=")) || bytes.Contains(head, []byte("encoding="))
}

// parsePacket reads the properties of the descriptions. It knows the element form and, for simple
// values, the attribute form.
func parsePacket(b []byte) (packet, bool) {
	p := packet{make(map[xml.Name]string), make(map[string]bool), make(map[string]bool)}
	d := xml.NewDecoder(bytes.NewReader(b))
	var path []xml.Name
	for {
		t, err := d.Token()
		if err != nil {
			return p, err.Error() == "EOF" && len(p.texts) > 0
		}
		switch t := t.(type) {
		case xml.StartElement:
			path = append(path, t.Name)
			if len(path) == 4 {
				p.spaces[t.Name.Space] = true
			}
			for _, a := range t.Attr {
				if len(path) == 3 && a.Name.Space != nsRDF && a.Name.Space != "xmlns" && a.Name.Space != "" {
					p.texts[a.Name] = a.Value
					p.spaces[a.Name.Space] = true
				}
			}
		case xml.EndElement:
			path = path[:len(path)-1]
		case xml.CharData:
			// A property stands below xmpmeta, RDF and Description.
			if len(path) >= 4 {
				p.texts[path[3]] += strings.TrimSpace(string(t))
				if last := path[len(path)-1]; last.Space == nsSchema && last.Local == "namespaceURI" {
					p.declared[string(t)] = true
				}
			}
		}
	}
}

// agree compares the information dictionary with the metadata.
func (c *checker) agree(p packet) {
	info := c.f.Info()
	for _, pair := range []struct {
		key  read.Name
		name xml.Name
	}{
		{"Title", xml.Name{Space: nsDC, Local: "title"}},
		{"Producer", xml.Name{Space: nsPDF, Local: "Producer"}},
		{"CreationDate", xml.Name{Space: nsXMP, Local: "CreateDate"}},
		{"ModDate", xml.Name{Space: nsXMP, Local: "ModifyDate"}},
	} {
		text, ok := c.f.Text(info[pair.key])
		if !ok {
			continue
		}
		said := p.texts[pair.name]
		if strings.HasSuffix(string(pair.key), "Date") {
			text, said = bareDate(text), bareDate(said)
		}
		if text != said {
			c.fail(RuleInfo, "%s", pair.key)
		}
	}
}

var dateMarks = regexp.MustCompile(`[D:T'\-]|\+|Z`)

// bareDate leaves the digits and the sign of the zone, which both ways of writing a date share.
func bareDate(s string) string {
	zone := ""
	if len(s) > 11 {
		if strings.Contains(s[11:], "+") {
			zone = "+"
		} else if strings.Contains(s[11:], "-") {
			zone = "-"
		}
	}
	return dateMarks.ReplaceAllString(s, "") + zone
}
