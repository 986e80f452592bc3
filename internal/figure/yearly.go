package figure

func bare(title string, width float64) Drawing {
	d := Drawing{Width: max(width, 1), Title: title}
	d.foot(20, "")
	return d
}
func (c Tradeoff) Drawing(w float64) Drawing             { return bare(c.Title, w) }
func (c Tradeoff) Text(width int, s TextStyle) []string  { return []string{s.Shorten(c.Title, width)} }
