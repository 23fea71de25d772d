package source

import "unicode/utf8"

// Nearest is the candidate that word was most likely meant to be: at most a third of its letters
// differ, counted as single insertions, deletions, replacements and swaps of neighbours. It is empty if
// none is that near; of several the first wins.
func Nearest(word string, candidates []string) string {
	best, fewest := "", utf8.RuneCountInString(word)/3+1
	if len(word) > 64 {
		return ""
	}
	for _, c := range candidates {
		if d := distance([]rune(word), []rune(c)); d < fewest {
			best, fewest = c, d
		}
	}
	return best
}

// distance is the restricted Damerau–Levenshtein distance.
func distance(a, b []rune) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
