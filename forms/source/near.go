package source

import "unicode/utf8"

// Nearest is the candidate that word was most likely meant to be: at most a third of its letters
// differ, counted as [Distance] counts them. It is empty if none is that near; of several the first wins.
func Nearest(word string, candidates []string) string {
	best, fewest := "", utf8.RuneCountInString(word)/3+1
	if len(word) > 64 {
		return ""
	}
	for _, c := range candidates {
		if d := Distance([]rune(word), []rune(c), fewest); d < fewest {
			best, fewest = c, d
		}
	}
	return best
}

// Distance counts the single letters that were inserted, dropped, changed or swapped with their neighbour between
// two words (restricted Damerau–Levenshtein distance), up to limit+1: beyond that the words are far apart, and how
// far does not matter.
func Distance(a, b []rune, limit int) int {
	if d := len(a) - len(b); d > limit || -d > limit {
		return limit + 1
	}
	var rows [3][64]int
	before, last, row := rows[0][:], rows[1][:], rows[2][:]
	if len(b) >= len(rows[0]) {
		before, last, row = make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	}
	for k := range len(b) + 1 {
		last[k] = k
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		least := row[0]
		for k := 1; k <= len(b); k++ {
			cost := 1
			if a[i-1] == b[k-1] {
				cost = 0
			}
			row[k] = min(last[k]+1, row[k-1]+1, last[k-1]+cost)
			if i > 1 && k > 1 && a[i-1] == b[k-2] && a[i-2] == b[k-1] {
				row[k] = min(row[k], before[k-2]+1)
			}
			least = min(least, row[k])
		}
		if least > limit {
			return limit + 1
		}
		before, last, row = last, row, before
	}
	return min(last[len(b)], limit+1)
}
