package figure

func bare(title string, width float64) Drawing {
	d := Drawing{Width: max(width, 1), Title: title}
	d.foot(20, "")
	return d
}
func (c Tradeoff) Drawing(w float64) Drawing             { return bare(c.Title, w) }
func (c Tradeoff) Text(width int, s TextStyle) []string  { return []string{s.Shorten(c.Title, width)} }
func (c Ends) Drawing(w float64) Drawing                 { return bare(c.Quantity, w) }
func (c Ends) Text(width int, s TextStyle) []string      { return []string{s.Shorten(c.Quantity, width)} }
func (c EndsTable) Drawing(w float64) Drawing            { return bare(c.Title, w) }
func (c EndsTable) Text(width int, s TextStyle) []string { return []string{s.Shorten(c.Title, width)} }
