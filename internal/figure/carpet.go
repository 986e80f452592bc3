package figure

import "math"

// Carpet draws a year as a field of days by hours: a value is told by how much ink it has, a limit that is passed by an outline.
// Numbers are in the axis' unit, already scaled; the axis is always linear.
type Carpet struct {
	Title     string
	Axis      Axis // of the values: name and unit
	First     int  // day of the year that the field begins with, 0 = 1 January; months are named where First + Days ≤ 366
	Days      int  // columns, ≥ 1
	PerDay    int  // values a day, ≥ 1, the first at midnight
	Values    []float64
	Missing   []bool   // as long as Values, or nil: there is no value. One that is not finite, or not there, is missing too
	Low, High float64  // what least and most ink stand for; High ≤ Low: taken from the values. Values beyond have the ink of the end
	Level     *float64 // a limit: cells above it are outlined and their hours counted; may be nil
	Marked    []bool   // as long as Values, or nil: cells that are outlined in place of those above Level
	LevelText string   // what is outlined: "above 28.8 V, gassing"; empty: made from Level
	Clock     string   // what the hours are: "solar time"; may be empty
	Source    string   // input file and date, for the small line below; may be empty
}

const (
	inks         = 8   // tones of a carpet
	mostColumns  = 400 // cells of a drawn field; more are drawn as means of neighbours
	mostRows     = 48
	leastCovered = 0.06 // part of the ground that the least ink covers, so that it is told from no value
	mostCovered  = 0.8
)

// field is a carpet made ready.
type field struct {
	columns, rows int
	mean          []float64 // by column, then row from midnight on
	held, over    []bool    // there is a value; one above the limit
	low, high     float64   // least and most ink
	least, most   float64   // of all values
	average       float64
	above, blank  float64 // hours above the limit, and without a value
	level         float64
	hasLevel      bool
}

// cut leaves out days behind the last value; without any value there is no day.
func (c Carpet) cut() Carpet {
	c.PerDay = max(c.PerDay, 1)
	c.Days = max(0, min(c.Days, (len(c.Values)+c.PerDay-1)/c.PerDay))
	return c
}

// field gathers the values in cells. ok is false if there is none.
func (c Carpet) field() (f field, ok bool) {
	if c.Days < 1 {
		return f, false
	}
	f = field{columns: min(c.Days, mostColumns), rows: min(c.PerDay, mostRows)}
	cells := f.columns * f.rows
	f.mean, f.held, f.over = make([]float64, cells), make([]bool, cells), make([]bool, cells)
	if f.hasLevel = len(c.Marked) > 0; !f.hasLevel && c.Level != nil && finite(*c.Level) {
		f.level, f.hasLevel = *c.Level, true
	}
	outlined := func(i int, v float64) bool {
		if len(c.Marked) > 0 {
			return i < len(c.Marked) && c.Marked[i]
		}
		return f.hasLevel && v > f.level
	}
	count, all, sum, reach := make([]float64, cells), 0.0, 0.0, nothing
	for i := range c.Days * c.PerDay {
		cell := i/c.PerDay*f.columns/c.Days*f.rows + i%c.PerDay*f.rows/c.PerDay
		if i >= len(c.Values) || i < len(c.Missing) && c.Missing[i] || !finite(c.Values[i]) {
			f.blank++
			continue
		}
		v := c.Values[i]
		count[cell]++
		f.mean[cell] += (v - f.mean[cell]) / count[cell]
		f.held[cell] = true
		all++
		sum += (v - sum) / all
		reach = reach.with(v)
		if outlined(i, v) {
			f.over[cell] = true
			f.above++
		}
	}
	f.least, f.most, f.average = reach.low, reach.high, sum
	f.above, f.blank = f.above*24/float64(c.PerDay), f.blank*24/float64(c.PerDay)
	f.low, f.high = c.Low, c.High
	if !finite(c.Low) || !finite(c.High) || c.High <= c.Low {
		a := rounded(f.least, f.most, 0, 1)
		f.low, f.high = a.low, a.high
	}
	return f, all > 0
}

// ink is the tone of a value, 0 the least.
func (f field) ink(v float64) int {
	return int(max(0, min(inks-1, math.Floor((v-f.low)/(f.high-f.low)*inks))))
}

// step is the value between two tones: k of inks.
func (f field) step(k int) float64 { return f.low + (f.high-f.low)*float64(k)/inks }

// covered is the part of the ground that a tone covers.
func covered(ink int) float64 {
	return leastCovered + (mostCovered-leastCovered)*float64(ink)/(inks-1)
}

// glaze is the part that a tone's layer covers on top of those of all lesser tones.
func glaze(ink int) float64 {
	if ink == 0 {
		return covered(0)
	}
	return 1 - (1-covered(ink))/(1-covered(ink-1))
}

// keyTexts are what is written at the fifth parts of the key: the values where tones change, and whether there are values beyond.
func (c Carpet) keyTexts(f field) [5]string {
	_, exponent := step((f.high - f.low) / 4)
	decimals := max(0, -exponent)
	if short(f.step(2)) != number(f.step(2), decimals) {
		decimals++
	}
	var out [5]string
	for k := range out {
		out[k] = tickText(f.step(k*inks/4), decimals)
	}
	if f.least < f.low {
		out[0] = "≤ " + out[0]
	}
	if f.most > f.high {
		out[4] = "≥ " + out[4]
	}
	out[4] = withUnit(out[4], c.Axis.Unit)
	return out
}

// levelText says what is outlined, and for how many hours.
func (c Carpet) levelText(f field) string {
	text := c.LevelText
	switch {
	case text == "" && len(c.Marked) > 0:
		text = "marked"
	case text == "":
		text = "above " + withUnit(short(f.level), c.Axis.Unit)
	}
	return minus(text) + ": " + hours(f.above)
}

func hours(h float64) string {
	if h > 0 && h < 10 {
		return significant(h, 2) + " h"
	}
	return number(h, 0) + " h"
}

// describe tells the carpet in words.
func (c Carpet) describe(f field) string {
	decimals := rounded(f.low, f.high, 0, 1).decimals + 1
	say := func(v float64) string { return minus(withUnit(number(v, decimals), c.Axis.Unit)) }
	text := axisName(c.Axis.Name, c.Axis.Unit) + " by day and hour: from " + say(f.least) + " to " + say(f.most) + ", mean " + say(f.average) + "."
	if f.hasLevel {
		text += " Outlined: " + c.levelText(f) + "."
	}
	if f.blank > 0 {
		text += " No value: " + hours(f.blank) + "."
	}
	return text
}
