package rating

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"hindwatt/internal/hardware"
	"hindwatt/internal/page"
)

type limit = hardware.Limit

// tables are the results, the duties, limits, cases, panels, the curve, what changes would buy and the budgets.
func (r *Result) tables(curve []Derated, others []Other) ([]page.Table, error) {
	results, err := r.resultTable()
	if err != nil {
		return nil, err
	}
	list := []page.Table{results}
	if len(r.Duties) > 1 {
		list = append(list, r.dutyTable())
	}
	if o := r.Outcome("current"); o != nil && o.Never == "" {
		list = append(list, panelTable(o))
	}
	if r.Point != nil {
		list = append(list, r.limitTable(), r.caseTable())
	}
	if cases, err := r.caseTableOf(); err != nil {
		return nil, err
	} else if len(cases.Rows) > 0 {
		list = append(list, cases)
	}
	if len(curve) > 0 {
		list = append(list, curveTable(curve))
	}
	if len(others) > 0 {
		list = append(list, r.otherTable(others))
	}
	for _, o := range r.Outcomes {
		if len(o.Linear.Lines) > 0 && (o.Quantity == "current" || o.Quantity == "touch-temperature") {
			list = append(list, o.budgetTable())
		}
	}
	return list, nil
}

func (r *Result) resultTable() (page.Table, error) {
	t := page.Table{Title: "What it carries, drops and takes " + r.Input.conditionWords(), Head: []string{"quantity", "at", "nominal", "95 of 100 units", "u"}, Align: "llrrr",
		Note: "Of a range of ambients the worst. 95 of 100 units: with confidence 95 % for what is not known. u: standard uncertainty by JCGM 100, in the same unit."}
	for _, o := range r.Outcomes {
		if o.Never != "" {
			t.Rows = append(t.Rows, []string{o.Quantity, celsius(o.At.air), "none", o.Never, ""})
			continue
		}
		holds, err := o.Tolerance(usualProportion, usualConfidence)
		if err != nil {
			return t, err
		}
		digits := -3
		if o.Dim.Point {
			digits = 1
		}
		where := celsius(o.At.air)
		if o.Quantity != "current" && !strings.HasPrefix(o.Quantity, "standby") {
			where = amperes(o.At.current) + ", " + where
		}
		t.Rows = append(t.Rows, []string{o.Quantity, where, o.text(o.Nominal, digits), strings.TrimSuffix(o.span(holds, digits), " in 95 of 100 units"), o.smallText(o.Linear.U)})
	}
	return t, nil
}

// smallText writes a difference of a quantity.
func (o *Outcome) smallText(v float64) string {
	if o.Dim.Point {
		return difference(v, "K")
	}
	return o.text(v, -2)
}

func (r *Result) dutyTable() page.Table {
	t := page.Table{Title: "Conducting and regulating", Head: []string{"charging", "largest current", "stopped by", "loss", "case"}, Align: "rrlrr",
		Note: fmt.Sprintf("A nominal unit. Charging: the share of each cycle in which the battery is charged. Loss and case at %s. A current is that while the battery is charged; limits are held on its mean or rms over the cycle, so a large one at a small share is no permission: what a panel gives at full conduction counts.", amperes(r.place.current))}
	for _, d := range r.Duties {
		if d.Part == "" && d.Duty == 0 { // a switch in series that is off carries nothing
			continue
		}
		loss, touch := "-", "-"
		if d.Loss > 0 {
			loss, touch = watts(d.Loss), celsius(d.Touch)
		}
		current := amperes(d.Current)
		if d.Part == "" {
			current = "no end"
		}
		t.Rows = append(t.Rows, []string{percent(d.Duty), current, stopWords(d.Part, d.Of), loss, touch})
	}
	return t
}

func panelTable(o *Outcome) page.Table {
	t := page.Table{Title: "The largest panel that this rating allows", Head: []string{"rule", "factor", "short-circuit current of all panels", "source"}, Align: "lrrl",
		Note: "A cloud's edge lasts seconds to minutes and a case warms in tens of minutes, so the second rule is on the safe side for what warms slowly; a fuse or a switch may see all of it."}
	for _, p := range Panels(o.Nominal) {
		t.Rows = append(t.Rows, []string{p.Rule, fmt.Sprintf("%.2f", p.Factor), amperes(p.ShortCircuit), p.Source})
	}
	return t
}

func (r *Result) limitTable() page.Table {
	t := page.Table{Title: fmt.Sprintf("Parts at %s %s, %s", amperes(r.place.current), r.Input.conditionWords(), dutyWords(conducting)),
		Head: []string{"part", "current", "drop", "loss", "hottest place", "nearest limit", "from"}, Align: "lrrrrll"}
	idle := 0
	for i, p := range r.Point.Parts {
		c := r.Input.Design.Components[i]
		if math.Abs(p.RMS) < leastCurrent*r.place.current && p.Loss.Sum() < leastLoss*r.Point.Loss && (p.Tightest < 0 || r.used(p.Limits[p.Tightest]) < leastUsed) {
			idle++
			continue
		}
		near, from := "none stated", ""
		if p.Tightest >= 0 && p.Tightest < len(p.Limits) {
			near, from = limitWords(p.Limits[p.Tightest]), p.Limits[p.Tightest].From
		}
		t.Rows = append(t.Rows, []string{c.Name + " (" + c.Part + ")", fmt.Sprintf("%.2f A", p.RMS), fmt.Sprintf("%.3f V", math.Abs(p.Drop)), fmt.Sprintf("%.3f W", p.Loss.Sum()),
			celsius(p.At), near, from})
	}
	if idle > 0 {
		t.Note = fmt.Sprintf("Not listed: %d parts that carry next to nothing, far from their limits.", idle)
	}
	return t
}

// Parts that are not listed carry less than this of the current, and have used less than this of their limits.
const (
	leastCurrent = 0.01
	leastUsed    = 0.1
)

func (r *Result) caseTable() page.Table {
	t := page.Table{Title: "Enclosures at " + amperes(r.place.current) + " " + r.Input.conditionWords(), Head: []string{"enclosure", "heat through it", "outside", "above the air", "inside", "board", "to the touch"}, Align: "lrrrrrl",
		Note: "To the touch: 70 °C for metal and 95 °C for plastic that is not held (IEC 62368-1, table 38, from memory)."}
	for i, c := range r.Point.Cases {
		e := r.Input.Design.Enclosures[i]
		said := "inside another"
		if e.Inside == "" {
			said = "wall not named"
			if limit, ok := touchLimit(e); ok {
				said = "below " + celsius(limit)
				if c.Surface > limit {
					said = "hotter than " + celsius(limit)
				}
			}
		}
		t.Rows = append(t.Rows, []string{c.Name, watts(c.Heat), celsius(c.Surface), kelvin(c.Surface - r.place.air), celsius(c.Inner), celsius(c.Board), said})
	}
	return t
}

func curveTable(curve []Derated) page.Table {
	t := page.Table{Title: "The derating curve", Head: []string{"ambient, °C", "nominal, A", "from, A", "to, A", "stopped by"}, Align: "rrrrl",
		Note: "From and to: 95 of 100 units, what is not known among it."}
	for _, c := range curve {
		t.Rows = append(t.Rows, []string{number(c.Air-zeroCelsius, 0), number(c.Current, 1), number(c.Low, 1), number(c.High, 1), stopWords(c.Part, c.Of)})
	}
	return t
}

func (r *Result) otherTable(others []Other) page.Table {
	t := page.Table{Title: "What one change would do to the largest current " + r.Input.conditionWords(), Head: []string{"change", "current", "more", "stopped by", "case"}, Align: "lrrlr",
		Note: "A nominal unit, each change alone, everything else as it is; parts as parts.toml has them. Made up: parts that the folder does not have. " +
			"A metal wall that is tried is painted outside and bare inside. Whether a part bears the voltage and the faults is not asked here."}
	var idle []Other
	for _, o := range others {
		if o.Refused == "" && math.Abs(o.More) < gains {
			idle = append(idle, o)
			continue
		}
		name := o.Name
		if o.Group == "made up" {
			name += " (made up)"
		}
		if o.Refused != "" {
			t.Rows = append(t.Rows, []string{name, "none", "", o.Refused, ""})
			continue
		}
		touch := "-"
		if o.Touch > 0 {
			touch = celsius(o.Touch)
		}
		t.Rows = append(t.Rows, []string{name, amperes(o.Current), signed(o.More), stopWords(o.Part, o.Of), touch})
	}
	t.Note = strings.TrimSpace(idleWords(idle) + " " + t.Note)
	return t
}

// idleWords tell which changes buy nothing, and what rules.
func idleWords(idle []Other) string {
	var order []string
	names := map[string][]string{}
	for _, o := range idle {
		rules := stopWords(o.Part, o.Of)
		if names[rules] == nil {
			order = append(order, rules)
		}
		names[rules] = append(names[rules], o.Name)
	}
	text := ""
	for _, rules := range order {
		text += fmt.Sprintf(" These change less than 0.1 A, since %s rules: %s.", rules, strings.Join(names[rules], "; "))
	}
	return strings.TrimPrefix(text, " ")
}

// number writes a figure of a column that names its unit.
func number(v float64, digits int) string {
	text := strconv.FormatFloat(v, 'f', digits, 64)
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return text
}

// signed writes a change of current: "+1.2 A", never "-0.0 A".
func signed(v float64) string {
	text := fmt.Sprintf("%+.1f", v)
	if strings.Trim(text, "+-0.") == "" {
		return "0.0 A"
	}
	return text + " A"
}

// leastShare is the share of the variance below which an input is counted, not listed.
const leastShare = 0.001

func (o *Outcome) budgetTable() page.Table {
	t := page.Table{Title: "Uncertainty budget of " + o.aim.words + " " + placeWords(o.At), Head: []string{"input", "share", "contribution", "from", "differs"}, Align: "lrrll"}
	unit := o.Unit
	if o.Dim.Point {
		unit = "K"
	}
	for i, l := range o.Linear.Lines {
		if l.Share < leastShare {
			t.Note = fmt.Sprintf("%d more inputs have less than %.1f %% of the variance each.", len(o.Linear.Lines)-i, 100*leastShare)
			break
		}
		differs := "from unit to unit"
		if l.Unknown {
			differs = "not known, the same for all"
		}
		t.Rows = append(t.Rows, []string{l.Words(), fmt.Sprintf("%.1f %%", 100*l.Share), difference(l.Contribution, unit), l.From, differs})
	}
	return t
}
