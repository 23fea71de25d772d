package forms

import "embed"

// Default holds the forms that ship.
//
//go:embed *.yaml
var Default embed.FS
