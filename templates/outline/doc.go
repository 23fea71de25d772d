// Package outline writes a composed paper without pages: as plain text, as one HTML file for a phone, and what
// falls due as a calendar. It says what the printed paper says, in the same order, and adds no word of its own.
//
// All three are pure: the same document or entries give the same bytes. What belongs to a page only (its
// number, drawings, room for a pen's width) is left out; a drawing is told by its text for those who cannot
// see it.
package outline
