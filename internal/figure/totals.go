package figure

// Total is one running total.
type Total struct {
	Name string    // "delivered"
	Sum  []float64 // as long as Totals.X
	Text string    // said at its end: "delivered 259 kWh, 241..275"; empty: made from Name and the last sum
}

// Gap is what lies between two running totals.
type Gap struct {
	Upper, Lower int    // places in Totals.Curves; it is filled where the upper is above the lower
	Name         string // "spilled"
	Text         string // said in it: "spilled 41 kWh, 36..47"; empty: made from Name and the last difference
	Harm         bool   // what was not had, such as unmet energy: hatched in the warm tone; else toned
}

// Totals draws sums that grow through a year, and what lies between them. Numbers are in the axis' unit, already scaled; the axis is always linear.
// A sum that is not finite, or whose X does not rise, is left out; a gap of totals that are not there too.
type Totals struct {
	Title  string
	Axis   Axis      // of the sums: name and unit
	X      []float64 // rising; days since 1970-01-01, or, all within 0..366, of a year without a name, 0 = 1 January
	Curves []Total   // from the top, at most six are told apart
	Gaps   []Gap
	Source string // input file and date, for the small line below; may be empty
}

// sums are totals made ready.
type sums struct {
	scene
	curves   []sumCurve
	gaps     []gapSum
	nameless bool // a year without a name
}

type sumCurve struct {
	trace
	said string
	last float64
}

// gapSum is a gap between two of the sums' curves.
type gapSum struct {
	upper, lower, index int
	name, said          string
	last                float64
	harm                bool
}

// scene puts the totals on axes, that of the sums from zero. ok is false if there is nothing to draw.
func (t Totals) scene() (s sums, ok bool) {
	x, y := nothing, nothing.with(0)
	at := map[int]int{}
	for i, c := range t.Curves {
		line := Series{Name: c.Name, X: t.X, Mid: c.Sum}.trace(Dates, Linear, i)
		if len(line.mid) == 0 {
			continue
		}
		at[i] = len(s.curves)
		last := line.mid[len(line.mid)-1]
		s.curves = append(s.curves, sumCurve{trace: line, said: c.Text, last: last.Y})
		x = x.with(line.mid[0].X).with(last.X)
		for _, p := range line.mid {
			y = y.with(p.Y)
		}
	}
	if len(s.curves) == 0 {
		return s, false
	}
	s.nameless = x.low >= 0 && x.high <= 366
	low, high := Dates.spanOn(x.low, x.high)
	if s.nameless {
		low, high = max(0, low), min(366, high)
	}
	s.x = axis{low: low, high: high, scale: Dates}
	s.y = rounded(y.low, y.high, 0, 1)
	if y.low == 0 {
		s.y.low = 0
	}
	for i, g := range t.Gaps {
		upper, okU := at[g.Upper]
		lower, okL := at[g.Lower]
		made := gapSum{upper: upper, lower: lower, index: i, name: g.Name, said: g.Text, harm: g.Harm}
		if !okU || !okL || len(s.shared(made)) == 0 {
			continue
		}
		grid := s.shared(made)
		last := grid[len(grid)-1]
		made.last = s.curves[upper].mid.at(last) - s.curves[lower].mid.at(last)
		s.gaps = append(s.gaps, made)
	}
	t.say(&s)
	return s, true
}

// say words what is not worded: all with the decimals of a thousandth of the axis.
func (t Totals) say(s *sums) {
	_, exponent := step((s.y.high - s.y.low) / 300)
	word := func(name string, v float64) string {
		text := withUnit(number(v, max(0, -exponent)), t.Axis.Unit)
		if name != "" {
			text = name + " " + text
		}
		return text
	}
	for i := range s.curves {
		c := &s.curves[i]
		if c.said == "" {
			c.said = word(c.name, c.last)
		}
		c.said = minus(c.said)
	}
	for i := range s.gaps {
		g := &s.gaps[i]
		if g.said == "" {
			g.said = word(g.name, g.last)
		}
		g.said = minus(g.said)
	}
}

// describe tells the totals in words.
func (t Totals) describe() string {
	s, ok := t.scene()
	if !ok {
		return "No data."
	}
	text := "Running totals: "
	for i, c := range s.curves {
		if i > 0 {
			text += "; "
		}
		text += c.said
	}
	text += "."
	for i, g := range s.gaps {
		if i == 0 {
			text += " Between them: "
		} else {
			text += "; "
		}
		text += g.said
	}
	if len(s.gaps) > 0 {
		text += "."
	}
	return text
}
