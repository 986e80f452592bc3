package setpoint

import (
	"context"
	"fmt"
	"strings"

	"hindwatt/internal/page"
	"hindwatt/internal/quantity"
)

// tables are the results of each quantity, the budgets, and what trims would buy.
func (r *Result) tables(ctx context.Context, bounds []Bound) ([]page.Table, error) {
	results, err := r.resultTable(ctx)
	if err != nil {
		return nil, err
	}
	trims, err := r.trimTable(ctx, bounds)
	if err != nil {
		return nil, err
	}
	list := []page.Table{results, trims}
	for _, o := range r.Outcomes {
		if len(o.Linear.Lines) > 0 && (len(bounds) == 0 || boundOf(bounds, o.Quantity) != nil) {
			list = append(list, o.budgetTable())
		}
	}
	return list, nil
}

func (r *Result) resultTable(ctx context.Context) (page.Table, error) {
	t := page.Table{
		Title: "What the battery gets " + r.Input.conditionWords() + ", V",
		Head:  []string{"quantity", "target at 25 °C", "nominal", "95 of 100 units", "JCGM 101, 95 %", "JCGM 100, 95 %", "u", "worst case"},
		Align: "lrrrrrrr",
		Note: "Nominal, worst case and units over all conditions; JCGM 100 and 101 at the one point where the figure may be furthest off. " +
			"95 of 100 units: with confidence 95 % for what is not known.",
	}
	room := make([]float64, r.Input.Outer*r.Input.Inner)
	for _, o := range r.Outcomes {
		if o.Never != "" {
			t.Rows = append(t.Rows, o.neverRow(len(t.Head)))
			continue
		}
		s, err := o.sampledInto(ctx, room)
		if err != nil {
			return t, err
		}
		units, err := o.Tolerance(usualProportion, usualConfidence)
		if err != nil {
			return t, err
		}
		digits := decimals(max(o.Linear.U, (units.High-units.Low)/4))
		span := func(low, high float64) string { return number(low, digits) + " to " + number(high, digits) }
		nominal := number(o.Nominal.Low, digits)
		if high := number(o.Nominal.High, digits); high != nominal {
			nominal += " to " + high
		}
		t.Rows = append(t.Rows, []string{o.Quantity, o.target(), nominal, span(units.Low, units.High), span(s.Low, s.High),
			span(o.Linear.Low, o.Linear.High), number(o.Linear.U, decimals(o.Linear.U)), span(o.Worst.Low, o.Worst.High)})
	}
	return t, nil
}

// target is the level as the table shows it.
func (o *Outcome) target() string {
	level := o.aim.level
	if o.aim.display() {
		return "-"
	}
	volts := levelTable[level].setting(o.input).Quantity.Value
	return number(volts, shortest(volts))
}

// neverRow is the row of a quantity that is never reached.
func (o *Outcome) neverRow(columns int) []string {
	row := []string{o.Quantity, o.target()}
	for len(row) < columns {
		row = append(row, "never")
	}
	return row
}

func (r *Result) trimTable(ctx context.Context, bounds []Bound) (page.Table, error) {
	t := page.Table{Title: "What a trim would leave: 95 of 100 units, V", Head: []string{"quantity"}, Align: "lrrrrr",
		Note: "With confidence 95 % for what is not known, the meter's error above all; 10^5 samples each."}
	trims, err := r.Trims(ctx)
	if err != nil {
		return t, err
	}
	assumed := ""
	for _, how := range trims {
		head := how.How
		if how.Meter != "" {
			head += ", by " + how.Meter
		}
		if how.Assumed {
			assumed = how.Meter
		}
		t.Head = append(t.Head, head)
	}
	if assumed != "" {
		t.Note += " No meter is given: " + assumed + " with a last digit of 10 mV is assumed."
	}
	for _, o := range r.Outcomes {
		row := []string{o.Quantity}
		for _, how := range trims {
			cell, err := trimCell(how.Result.Outcome(o.Quantity), boundOf(bounds, o.Quantity))
			if err != nil {
				return t, err
			}
			row = append(row, cell)
		}
		if strings.Join(row[1:], "") != "" {
			t.Rows = append(t.Rows, row)
		}
	}
	return t, nil
}

func trimCell(o *Outcome, b *Bound) (string, error) {
	if o == nil {
		return "", nil
	}
	if o.Never != "" {
		return "never", nil
	}
	units, err := o.Tolerance(usualProportion, usualConfidence)
	if err != nil {
		return "", err
	}
	digits := decimals((units.High - units.Low) / 4)
	text := signed(units.Low, digits) + " to " + signed(units.High, digits)
	if b == nil {
		return text, nil
	}
	low, high := b.ends()
	inside, err := o.Inside(low, high, usualConfidence)
	return text + "; " + percent(inside.Best) + " inside", err
}

// leastContribution is what is no longer shown line by line, V.
const leastContribution = 0.05e-3

func (o *Outcome) budgetTable() page.Table {
	name, _ := o.aim.words(o.input)
	t := page.Table{
		Title: fmt.Sprintf("Uncertainty budget of %s at %s", name, showTemperature(o.Linear.At.Ambient)),
		Head:  []string{"input", "contribution", "share", "varies", "from"}, Align: "lrrll",
		Note: "Contribution: sensitivity times standard uncertainty [S12].",
	}
	for i, l := range o.Linear.Lines {
		if rest := len(o.Linear.Lines) - i; l.Contribution < leastContribution && rest > 1 {
			t.Rows = append(t.Rows, []string{fmt.Sprintf("the other %d, each", rest), "under 0.05 mV", "", "", ""})
			break
		}
		varies := "from unit to unit"
		if l.Unknown {
			varies = "not: the same for all"
		}
		t.Rows = append(t.Rows, []string{l.Name, quantity.Format(l.Contribution, quantity.Voltage, "mV", 1), percent(l.Share), varies, l.From})
	}
	t.Rows = append(t.Rows, []string{"together", quantity.Format(o.Linear.U, quantity.Voltage, "mV", 1), "", "", ""})
	return t
}
