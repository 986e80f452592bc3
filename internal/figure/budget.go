package figure

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
)

// BudgetLine is what one input contributes to the spread.
type BudgetLine struct {
	Name         string
	Share        float64 // of the variance, 0..1; below 0 where a correlation takes variance away
	Contribution float64 // standard uncertainty, in the budget's unit
	From         string  // "product.toml:12"; may be empty
}

// Budget draws an uncertainty budget as bars, largest share first.
type Budget struct {
	Title  string // "where the spread of the float voltage comes from"
	Unit   string // of the contributions
	Lines  []BudgetLine
	Most   int    // bars, the last of which pools the rest; 0: 8
	Source string // input file and date, for the small line below; may be empty
}

// Sorted returns the lines that can be drawn, largest share first and by name where equal. The smallest are pooled
// into one line called "the other N", whose contribution is the root of the sum of squares (JCGM 100:2008, 5.1.2, uncorrelated).
func (b Budget) Sorted() []BudgetLine {
	var lines []BudgetLine
	for _, l := range b.Lines {
		if finite(l.Share) && finite(l.Contribution) {
			lines = append(lines, l)
		}
	}
	slices.SortStableFunc(lines, func(x, y BudgetLine) int {
		return cmp.Or(cmp.Compare(y.Share, x.Share), cmp.Compare(x.Name, y.Name))
	})
	most := b.Most
	if most <= 0 {
		most = 8
	}
	if len(lines) <= most {
		return lines
	}
	rest := lines[most-1:]
	pooled := BudgetLine{Name: "the other " + strconv.Itoa(len(rest))}
	for _, l := range rest {
		pooled.Share += l.Share
		pooled.Contribution = math.Hypot(pooled.Contribution, l.Contribution)
	}
	return append(slices.Clip(lines[:most-1]), pooled)
}

// percent writes a share, with one decimal below 10 %.
func percent(share float64) string {
	p := 100 * share
	if math.Abs(p) < 9.95 {
		return number(p, 1) + " %"
	}
	return number(p, 0) + " %"
}

// contributions writes the standard uncertainties so that the largest has three digits.
func contributions(lines []BudgetLine, unit string) []string {
	most := 0.0
	for _, l := range lines {
		most = max(most, math.Abs(l.Contribution))
	}
	decimals := 0
	if most > 0 && most < 100 {
		decimals = min(9, 2-int(math.Floor(math.Log10(most))))
	}
	var out []string
	for _, l := range lines {
		out = append(out, withUnit(number(l.Contribution, decimals), unit))
	}
	return out
}

// Drawing lays the budget out; width 0 is 640 px. Names stand beside their bars, or above them where there is no room.
func (b Budget) Drawing(width float64) Drawing {
	if !(width > 0) {
		width = figureWidth
	}
	lines := b.Sorted()
	values := contributions(lines, b.Unit)
	d := Drawing{Width: width, Title: b.Title, Description: b.describe(lines, values)}
	const size = 12
	name, number, share := 0.0, 0.0, textWidth("100 %", size)
	most := 0.0
	for i, l := range lines {
		name = max(name, textWidth(l.Name, size))
		number = max(number, textWidth(minus(values[i]), size))
		most = max(most, math.Abs(l.Share))
	}
	left, height, drop := name+12, 22.0, 4.0
	if left > 0.42*width {
		left, height, drop = 0, 37.0, 19.0
	}
	right := width - number - share - 26
	y := 4.0
	for i, l := range lines {
		if left > 0 {
			d.write(left-12, y+15, size, Ink, End, l.Name)
		} else {
			d.write(0, y+14, size, Ink, Start, fit(l.Name, size, width))
		}
		if length := (right - left) * math.Abs(l.Share) / most; most > 0 && length > 0 {
			d.Ops = append(d.Ops, bar(l, i == len(lines)-1 && len(b.Lines) > len(lines), left, y+drop, max(length, 0.6), height-drop-6))
		}
		d.line(left, y+drop-2, left, y+height, Stroke{Role: Soft, Width: 1})
		base := y + height - 7
		d.write(right+14+share, base, size, Ink, End, minus(percent(l.Share)))
		d.write(width, base, size, Soft, End, minus(values[i]))
		y += height
	}
	d.foot(y+4, b.Source)
	return d
}

// bar is solid; hollow where it pools the rest, and hollow and dashed where a share is negative.
func bar(l BudgetLine, pooled bool, x, y, w, h float64) Area {
	a := Area{Points: rectangle(x, y, w, h), Fill: Accent}
	switch {
	case l.Share < 0:
		a.Fill, a.Outline = Paper, Stroke{Role: Accent, Width: 1.2, Dash: 3}
	case pooled:
		a.Fill, a.Outline = Paper, Stroke{Role: Accent, Width: 1.2}
	}
	return a
}

func (b Budget) describe(lines []BudgetLine, values []string) string {
	var parts []string
	for i, l := range lines {
		parts = append(parts, l.Name+" "+minus(percent(l.Share)+", "+values[i]))
	}
	if len(parts) == 0 {
		return "No contribution."
	}
	return "Shares of the variance and standard uncertainties: " + strings.Join(parts, "; ") + "."
}
