// Package templates composes papers: it joins a template, the words of a language and the facts of a
// visit to a [layout.Document].
//
// A template is a YAML file of blocks (README.md describes the dialect). It holds no sentence and no
// calculation: sentences are messages of locales, values are names from a closed table, and a block or a
// line of it stands or falls with a condition over named facts. [Load] reads a template and proves
// everything that can be proved without words, [Template.Prove] proves its messages in every language,
// and [Compose] is pure: the same paper gives the same document.
package templates

import (
	"embed"
	"io/fs"
)

//go:embed papers sheets.yaml clauses.yaml
var embedded embed.FS

// Default holds the templates and sheets that the program ships.
var Default fs.FS = embedded
