package tree

import "strings"

// Nearest returns the known name that a reader of name may have meant, or "".
// Case and "-" against "_" do not count; otherwise a third of the letters may differ
// (optimal string alignment distance).
func Nearest(name string, known []string) string {
	if len(name) > 64 {
		return ""
	}
	best, distance := "", 1+len([]rune(name))/3
	for _, k := range known {
		if d := alignment(plain(name), plain(k), distance); d < distance {
			best, distance = k, d
		}
	}
	return best
}

func plain(s string) string { return strings.ReplaceAll(strings.ToLower(s), "-", "_") }

// alignment counts the letters to insert, drop, change or swap with their neighbour
// between a and b; at least limit if there are as many.
func alignment(a, b string, limit int) int {
	s, t := []rune(a), []rune(b)
	if len(s)-len(t) >= limit || len(t)-len(s) >= limit {
		return limit
	}
	last, row, next := make([]int, len(t)+1), make([]int, len(t)+1), make([]int, len(t)+1)
	for j := range row {
		row[j] = j
	}
	for i, x := range s {
		next[0] = i + 1
		for j, y := range t {
			cost := 1
			if x == y {
				cost = 0
			}
			next[j+1] = min(row[j]+cost, row[j+1]+1, next[j]+1)
			if i > 0 && j > 0 && x == t[j-1] && s[i-1] == y {
				next[j+1] = min(next[j+1], last[j-1]+1)
			}
		}
		last, row, next = row, next, last
	}
	return row[len(t)]
}
