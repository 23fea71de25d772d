package conform

// Rules that files are checked against. The clauses are those of ISO 32000-1 (32000), ISO 14289-1 (UA)
// and ISO 19005-2 (A).
const (
	RuleFile        = "file"             // the file can be read
	RuleHeader      = "header"           // first line and binary comment, A 6.1.2, UA 6.1
	RuleEnd         = "end"              // nothing after the end mark, A 6.1.3
	RuleID          = "id"               // identifier in the trailer, A 6.1.3
	RuleEncrypt     = "encrypt"          // not encrypted, A 6.1.3
	RuleStream      = "stream"           // no LZW, no external data, A 6.1.7
	RuleLimit       = "limit"            // implementation limits, A 6.1.13
	RuleMarked      = "marked"           // MarkInfo says so and names no suspects, UA 6.2, 7.1
	RuleLanguage    = "language"         // valid tags, one for the document, UA 7.2
	RuleTitle       = "title"            // dc:title, UA 7.1
	RuleShowTitle   = "show-title"       // DisplayDocTitle, UA 7.1
	RuleMetadata    = "metadata"         // XMP present, well formed, A 6.6.2
	RuleUAID        = "ua-id"            // pdfuaid, UA 5
	RuleAID         = "a-id"             // pdfaid, A 6.6.4
	RuleInfo        = "info"             // information dictionary says the same, A 6.6.3, part 1: 6.7.3
	RuleExtension   = "extension"        // other schemas declared, A 6.6.2.3
	RuleIntent      = "output-intent"    // profile for device colours, A 6.2.3
	RuleTabs        = "tabs"             // tab order by structure, UA 7.18.3
	RuleContent     = "content"          // pages parse and brackets match, 32000 7.8
	RuleUnmarked    = "unmarked"         // painted, neither tagged nor artifact, UA 7.1
	RuleArtifactIn  = "artifact-in-tag"  // UA 7.1
	RuleTagIn       = "tag-in-artifact"  // UA 7.1
	RuleNested      = "nested-marks"     // a numbered sequence within another
	RuleRepeated    = "repeated-mark"    // one number for two sequences of a page
	RuleTree        = "tree"             // structure tree present, each element with its parent, UA 7.1
	RuleRole        = "role"             // standard types only, UA 7.1
	RuleMark        = "mark"             // each mark has one element and each element's mark exists
	RuleParentTree  = "parent-tree"      // leads back to that element, 32000 14.7.4.4
	RuleHeading     = "heading"          // from H1, none skipped, not mixed with H, UA 7.4
	RuleFigureAlt   = "figure-alt"       // UA 7.3
	RuleFigureBox   = "figure-box"       // BBox, 32000 14.8.5.4
	RuleHeaderScope = "header-scope"     // UA 7.5
	RuleTable       = "table"            // nesting, UA 7.2
	RuleGrid        = "grid"             // rows of one width, UA 7.2
	RuleList        = "list"             // nesting, UA 7.2
	RuleNote        = "note"             // an ID of its own, UA 7.9
	RuleFontKind    = "font-kind"        // a kind that this package can judge
	RuleEmbedded    = "font-embedded"    // UA 7.21.4.1
	RuleCIDMap      = "font-cid-map"     // UA 7.21.3
	RuleUnicode     = "font-unicode"     // a text for each code shown, UA 7.21.7
	RuleWidth       = "font-width"       // as in the program, UA 7.21.5
	RuleGlyph       = "font-glyph"       // each code shown has a glyph, UA 7.21.4.1
	RuleNotdef      = "font-notdef"      // .notdef is not shown, UA 7.21.8
	RuleCIDSet      = "font-cid-set"     // part 1: 6.3.5
	RuleAction      = "action"           // no scripts, no launching, no additional actions, A 6.5
	RuleForm        = "form"             // no XFA, no NeedAppearances, A 6.4
	RuleXObject     = "xobject"          // no references, no PostScript, UA 7.20, A 6.2.9
	RuleTransparent = "transparency"     // none, A 6.2.10
	RuleEmbed       = "embedded-file"    // only as the part allows, A 6.8
	RuleLayer       = "layer"            // names of optional content, UA 7.10
	RuleAnnotKind   = "annotation-kind"  // known kinds, UA 7.18
	RuleAnnotFlags  = "annotation-flags" // printed, not hidden, A 6.3.2
	RuleAnnotLook   = "annotation-look"  // an appearance, A 6.3.3
	RuleAnnotText   = "annotation-text"  // Contents or Alt, UA 7.18.1
	RuleAnnotTag    = "annotation-tag"   // in Link, Form or Annot, UA 7.18
	RuleFieldName   = "field-name"       // TU of form fields, UA 7.18.1
)

// Rules gives the ids of all rules.
func Rules() []string {
	return []string{
		RuleFile, RuleHeader, RuleEnd, RuleID, RuleEncrypt, RuleStream, RuleLimit, RuleMarked, RuleLanguage,
		RuleTitle, RuleShowTitle, RuleMetadata, RuleUAID, RuleAID, RuleInfo, RuleExtension, RuleIntent, RuleTabs,
		RuleContent, RuleUnmarked, RuleArtifactIn, RuleTagIn, RuleNested, RuleRepeated, RuleTree, RuleRole, RuleMark,
		RuleParentTree, RuleHeading, RuleFigureAlt, RuleFigureBox, RuleHeaderScope, RuleTable, RuleGrid, RuleList,
		RuleNote, RuleFontKind, RuleEmbedded, RuleCIDMap, RuleUnicode, RuleWidth, RuleGlyph, RuleNotdef, RuleCIDSet,
		RuleAction, RuleForm, RuleXObject, RuleTransparent, RuleEmbed, RuleLayer, RuleAnnotKind, RuleAnnotFlags,
		RuleAnnotLook, RuleAnnotText, RuleAnnotTag, RuleFieldName,
	}
}
