package diagram

import "hindwatt/internal/figure"

// Text writes the circuit as paths, part by part.
func (c Circuit) Text(width int, style figure.TextStyle) []string {
	return []string{style.Shorten(c.Title, width)}
}
