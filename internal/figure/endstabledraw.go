package figure

import (
	"math"
	"strings"
)

// cellOf returns the cell of a row and column; one that is not there is empty.
func (t EndsTable) cellOf(row, column int) EndCell {
	if row < len(t.Cells) && column < len(t.Cells[row]) {
		c := t.Cells[row][column]
		c.End = min(c.End, Hazard)
		return c
	}
	return EndCell{None: true}
}

// Drawing lays the table out; width 0 is 640 px. Each cell has as many filled steps as its end is bad, and the end's word, or its letter where words have no room.
func (t EndsTable) Drawing(width float64) Drawing {
	if !(width > 0) {
		width = figureWidth
	}
	d := Drawing{Width: width, Title: t.Title, Description: t.describe()}
	if len(t.Rows) == 0 || len(t.Columns) == 0 {
		d.foot(20, t.Source)
		return d
	}
	name := 0.0
	for _, r := range t.Rows {
		name = max(name, textWidth(minus(r), 12))
	}
	name = min(name+12, 0.34*width)
	wide := (width - name) / float64(len(t.Columns))
	above := wide < 74 // the rows' names stand above their cells
	if above {
		name, wide = 0, width/float64(len(t.Columns))
	}
	y := d.heads(t.Columns, name, wide)
	for row, r := range t.Rows {
		lines := wrapped(minus(r), 12, name-10)
		if above {
			lines = wrapped(minus(r), 12, width)
		}
		for i, l := range lines {
			d.write(0, y+15+14*float64(i), 12, Ink, Start, l)
		}
		height := 38.0
		top := y
		if above {
			top += 14*float64(len(lines)) + 6
			height += 14*float64(len(lines)) + 4
		} else {
			height = max(height, 14*float64(len(lines))+10)
		}
		for column := range t.Columns {
			d.endCell(t.cellOf(row, column), name+wide*float64(column), top, wide-8)
		}
		y += height
		d.line(0, y, width, y, Stroke{Role: Rule, Width: 1})
	}
	y = d.endsKey(y + 18)
	d.foot(y+6, t.Source)
	return d
}

const smallestHead = 9.0 // px

// heads writes the names of the columns and returns where the rows begin.
func (d *Drawing) heads(names []string, x, wide float64) float64 {
	deepest, size := 1, float64(small)
	for _, n := range names { // smaller letters rather than half a word
		for word := range strings.FieldsSeq(minus(n)) {
			if w := textWidth(word, small); w > wide-4 {
				size = max(smallestHead, min(size, small*(wide-4)/w))
			}
		}
	}
	var all [][]string
	for _, n := range names {
		lines := wrapped(minus(n), size, wide-4)
		all, deepest = append(all, lines), max(deepest, len(lines))
	}
	for i, lines := range all {
		for k, l := range lines {
			d.write(x+wide*float64(i), 12+13*float64(k+deepest-len(lines)), size, Soft, Start, l)
		}
	}
	y := 12 + 13*float64(deepest-1) + 7
	d.line(0, y, d.Width, y, Stroke{Role: Soft, Width: 1})
	return y
}

const stepWide, stepTall = 6.0, 9.0 // px, one step of an end

// endCell draws the steps and the word or letter of an end, and what gives way below.
func (d *Drawing) endCell(c EndCell, x, y, wide float64) {
	if c.None {
		text := c.Text
		if text == "" {
			text = "–"
		}
		d.write(x, y+15, small, Soft, Start, fit(minus(text), small, wide))
		return
	}
	d.endSteps(c.End, x, y+6)
	at := x + 4*(stepWide+1) + 5
	word := c.End.String()
	if c.End == Harmed {
		word = "harmed"
	}
	if c.Open {
		word += " ?"
	}
	if textWidth(word, small) > wide-(at-x) {
		word = endLetters[c.End : c.End+1]
		if c.Open {
			word += "?"
		}
	}
	d.write(at, y+15, small, Ink, Start, fit(word, small, wide+6-(at-x))) // a letter may use most of the gap to the next cell
	d.write(x, y+29, 10.5, Soft, Start, fitNumber(minus(c.Text), 10.5, wide-4))
}

func digitAt(text string, at int) bool { return at < len(text) && text[at] >= '0' && text[at] <= '9' }

// fitNumber cuts a text such as "q1 3.1×" to a width in px: its name before its number, and all of the name where not three letters of it have room.
func fitNumber(text string, size, width float64) string {
	at := strings.LastIndex(text, " ")
	if at < 0 || textWidth(text, size) <= width || !digitAt(text, at+1) {
		return fit(text, size, width)
	}
	name, number := text[:at], text[at:]
	if short := fit(name, size, width-textWidth(number, size)); len([]rune(short)) > 3 {
		return short + number
	}
	return fit(number[1:], size, width)
}

// endSteps draws four steps that rise, as many of them filled as the end is worse than unharmed; those that are harm are warm.
func (d *Drawing) endSteps(e FaultEnd, x, y float64) {
	for i := range FaultEnd(4) {
		tall := stepTall * (0.4 + 0.2*float64(i))
		a := Area{Points: rectangle(x+float64(i)*(stepWide+1), y+stepTall-tall, stepWide, tall), Outline: Stroke{Role: Soft, Width: 0.7}}
		switch {
		case i >= e:
		case e >= PartLost:
			a.Fill, a.Outline.Role = Over, Over
		default:
			a.Fill = Soft
		}
		d.Ops = append(d.Ops, a)
	}
}

// endsKey writes what steps and letters mean, and returns the last base line.
func (d *Drawing) endsKey(y float64) float64 {
	x := 0.0
	item := func(text string, sample func(), indent float64) {
		w := indent + textWidth(text, small)
		if x > 0 && x+w > d.Width {
			x, y = 0, y+16
		}
		sample()
		text = fit(text, small, d.Width-x-indent)
		d.write(x+indent, y, small, Soft, Start, text)
		x = math.Min(d.Width, x+w+18)
	}
	for k := range ends {
		item(endLetters[k:k+1]+"  "+k.String(), func() { d.endSteps(k, x, y-stepTall) }, 4*(stepWide+1)+5)
	}
	item("? may end worse", func() {}, 0)
	return y
}

// describe tells how many cases end how, and the worst of each row.
func (t EndsTable) describe() string {
	if len(t.Rows) == 0 || len(t.Columns) == 0 {
		return "No data."
	}
	text := "Worst end of each row:"
	for row, r := range t.Rows {
		if worst, column := t.worst(row); column < 0 {
			text += " " + r + ": none;"
		} else {
			text += " " + r + ": " + worst.String() + " (" + t.Columns[column] + ");"
		}
	}
	return minus(text[:len(text)-1] + ".")
}

// worst returns the worst end of a row and its first column; -1: there is none.
func (t EndsTable) worst(row int) (worst FaultEnd, column int) {
	column = -1
	for i := range t.Columns {
		if c := t.cellOf(row, i); !c.None && (column < 0 || c.End > worst) {
			worst, column = c.End, i
		}
	}
	return worst, column
}
