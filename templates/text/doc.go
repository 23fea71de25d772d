// Package text shapes and breaks text in every script of the papers and cuts the fonts that show it.
//
// # Use
//
// One [Engine] serves the program; one [Setter] serves a document and implements layout.Metrics:
//
//	engine := text.NewEngine()
//	setter := engine.NewSetter(text.Options{Lang: "ar"})
//	lines := setter.Lines(request) // any number of times
//	fonts := setter.Fonts()        // then, once: what the runs' codes mean
//	lacks := setter.Missing()      // runes that no face has
//
// User text goes through [Sanitise] where it enters the program. Lines never fails: what Sanitise would
// refuse is set as U+FFFD and spaces, and explicit marks of direction are dropped.
//
// # How it works
//
// A paragraph is analysed once, whatever its size and width: scripts and faces (choose.go, families.go),
// directions by UAX #9 with every value isolated (levels.go, bidi.go), places to break by UAX #14 with exceptions
// (breaks.go). It is cut into pieces (prepare.go), and each piece is shaped at 1000 units to the em (shape.go). Lines
// (lines.go, fill.go, hyphen.go, runs.go) only adds whole numbers, so that the same request gives the same
// positions on every machine.
//
// A cluster font has one code, which is also its glyph id, for each distinct shaped cluster: glyphs with
// their offsets built into one glyph (program.go, sfnt.go), the shaped advance, and the text that a reader
// gets back. Kerning, ligatures and conjuncts therefore cost nothing more in the page, and one run is one
// string of codes. Right-to-left clusters have a code for each rune, because readers reverse codes and not
// the characters within one; the ink goes with the last letter.
//
// Template text and values have fonts of their own where a value needs a cluster that the template does
// not use. So the template's font is the same in every paper, and is cut and deflated once. In Latin it
// holds the figures and letters from the start (seed.go), so that most values need no font of their own.
//
// A typing font (typing.go) is the exception: a code for each single letter, unshaped, for forms that somebody fills in.
//
// # Caches
//
// Parsed faces stay. Words, paragraphs, clusters and programs live in an epoch (cache.go) that is replaced
// when one of its bounds is reached. Text of a span with Value, Field, Page or Pages set is kept by the
// setter alone and goes with it; of it only single clusters reach the epoch.
//
// # Limits
//
// Thai, Lao, Khmer and Burmese break at U+200B and at spaces only. Han has no bold. Fonts must be static
// TrueType with 1000 units to the em. Vertical text is not set.
package text
