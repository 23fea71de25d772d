package pdf

// Form is what a form on a screen says of itself: opaque ids and the version of its questions, nothing of a person.
type Form struct {
	Visit, Document    string
	Questions, Version string
}
