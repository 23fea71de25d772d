// Package text shapes and breaks text and cuts the fonts that show it.
package text
