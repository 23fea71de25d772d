package pdf

import (
	"bytes"
	"encoding/xml"
	"strings"
	"time"
)

// documentInfo appends the information dictionary. It says what the metadata stream says.
func (f *finisher) documentInfo(b []byte) []byte {
	b = appendTextString(append(b, "<</Title"...), f.info.Title)
	if f.info.Producer != "" {
		b = appendTextString(append(b, "/Producer"...), f.info.Producer)
	}
	if t := f.info.Issued; !t.IsZero() {
		b = append(append(b, "/CreationDate("...), pdfDate(t)...)
		b = append(append(b, ")/ModDate("...), pdfDate(t)...)
		b = append(b, ')')
	}
	return append(b, ">>"...)
}

// pdfDate writes t as ISO 32000-1, 7.9.4 has it.
func pdfDate(t time.Time) string {
	zone := t.Format("-07:00")
	if _, offset := t.Zone(); offset == 0 {
		return t.Format("D:20060102150405") + "Z"
	}
	return t.Format("D:20060102150405") + strings.Replace(zone, ":", "'", 1) + "'"
}

// metadata is the XMP packet (ISO 16684-1).
func (f *finisher) metadata() []byte {
	var b bytes.Buffer
	part, level := "2", "U"
	switch f.info.Profile {
	case PDFA1b:
		part, level = "1", "B"
	case PDFA3u:
		part = "3"
	case PDFA2u:
	}
	element := func(name, value string) {
		if value == "" {
			return
		}
		b.WriteString("<" + name + ">")
		_ = xml.EscapeText(&b, []byte(value)) // a buffer does not fail
		b.WriteString("</" + name + ">\n")
	}
	b.WriteString(xmpOpen)
	b.WriteString("<dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">")
	_ = xml.EscapeText(&b, []byte(f.info.Title))
	b.WriteString("</rdf:li></rdf:Alt></dc:title>\n")
	b.WriteString("<dc:language><rdf:Bag><rdf:li>")
	_ = xml.EscapeText(&b, []byte(f.r.Lang))
	b.WriteString("</rdf:li></rdf:Bag></dc:language>\n")
	element("dc:format", "application/pdf")
	element("dc:identifier", f.info.DocumentID)
	element("pdf:Producer", f.info.Producer)
	if !f.info.Issued.IsZero() {
		at := f.info.Issued.Format("2006-01-02T15:04:05Z07:00")
		element("xmp:CreateDate", at)
		element("xmp:ModifyDate", at)
	}
	if f.info.Form == nil { // what a reader types in has letters that the file does not hold
		element("pdfaid:part", part)
		element("pdfaid:conformance", level)
	}
	element("pdfuaid:part", "1")
	b.WriteString(xmpClose)
	return b.Bytes()
}

const xmpOpen = "<?xpacket begin=\"\uFEFF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" +
	`<x:xmpmeta xmlns:x="adobe:ns:meta/">
<rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/" xmlns:pdfuaid="http://www.aiim.org/pdfua/ns/id/">
`

// xmpClose ends with the extension schema: archival files may use no property that they do not declare
// (ISO 19005-2, 6.6.2.3), and the PDF/UA identifier is newer than the list of known ones.
const xmpClose = `</rdf:Description>
<rdf:Description rdf:about="" xmlns:pdfaExtension="http://www.aiim.org/pdfa/ns/extension/" xmlns:pdfaSchema="http://www.aiim.org/pdfa/ns/schema#" xmlns:pdfaProperty="http://www.aiim.org/pdfa/ns/property#">
<pdfaExtension:schemas><rdf:Bag><rdf:li rdf:parseType="Resource">
<pdfaSchema:schema>PDF/UA identification</pdfaSchema:schema>
<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>
<pdfaSchema:prefix>pdfuaid</pdfaSchema:prefix>
<pdfaSchema:property><rdf:Seq><rdf:li rdf:parseType="Resource">
<pdfaProperty:name>part</pdfaProperty:name>
<pdfaProperty:valueType>Integer</pdfaProperty:valueType>
<pdfaProperty:category>internal</pdfaProperty:category>
<pdfaProperty:description>part of ISO 14289</pdfaProperty:description>
</rdf:li></rdf:Seq></pdfaSchema:property>
</rdf:li></rdf:Bag></pdfaExtension:schemas>
</rdf:Description>
</rdf:RDF>
</x:xmpmeta>
<?xpacket end="r"?>`
