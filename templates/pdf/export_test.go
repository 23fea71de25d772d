package pdf

// PackAtMost lowers how many objects this press puts into one object stream.
func (p *Press) PackAtMost(n int) { p.packAtMost = n }
