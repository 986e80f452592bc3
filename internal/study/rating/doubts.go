package rating

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hindwatt/internal/hardware"
	"hindwatt/internal/quantity"
)

const (
	derated    = 0.8 // of a limit in °C, beyond which there is a caution; common practice (MODELS F5, L28 [M])
	warmInside = 30. // K above the ambient that the inside of a small sealed case should keep to (MODELS L33 [E])
	dropAt12   = 0.5 // V for every 12 V between terminals at the largest current, Universal Technical Standard for Solar Home Systems (GTZ 2000) [C]
)

// doubts are the cautions about a nominal unit at the asked current.
func (r *Result) doubts(pt *hardware.Point) {
	for _, w := range pt.Warnings {
		r.warn(w.Text, w.Remedy, w.At)
	}
	r.outlying(pt.Outlying)
	for i, p := range pt.Parts {
		c := r.Input.Design.Components[i]
		for _, l := range p.Limits {
			r.near(c, l)
		}
	}
	for _, c := range pt.Cases {
		if rise := c.Inner - r.place.air; rise > warmInside {
			r.warn(fmt.Sprintf("%s: its inside lies %s above the ambient; %s is what a small closed case is usually kept to.", c.Name, kelvin(rise), kelvin(warmInside)),
				"a larger or a metal case, or less loss", "common practice")
		}
	}
	cells := r.Input.nominal() / cell12
	if pt.PanelDrop > dropAt12*cells {
		r.warn(fmt.Sprintf("Between panel and battery %s are lost at %s; %s is what solar home systems are allowed.", volts(pt.PanelDrop), amperes(r.place.current), volts(dropAt12*cells)),
			"a part with less drop in that path", "Universal Technical Standard for Solar Home Systems (GTZ 2000)")
	}
}

// outlying says once which faces are outside the range of their correlation.
func (r *Result) outlying(faces []hardware.Outlying) {
	if len(faces) == 0 {
		return
	}
	var where []string
	most := faces[0]
	for _, f := range faces {
		if f.Share > most.Share {
			most = f
		}
		if name := fmt.Sprintf("the %s of %s", f.Surface, f.Case); !slices.Contains(where, name) {
			where = append(where, name)
		}
	}
	r.warn(fmt.Sprintf("Free convection at %s is computed by correlations outside the range they were found for; %s of a surface's heat leaves so at most, and %s.",
		strings.Join(where, ", "), percent(most.Share), most.Means()), "a reading of temperatures at a held current settles it", "docs/models.md, [H6] to [H10]")
}

// near cautions where a limit is passed, or nearer than it is usually let come.
func (r *Result) near(c hardware.Component, l hardware.Limit) {
	if l.Of == "current" || l.Of == "power" {
		if l.Value > l.Max*(1+tie) {
			dim, unit := quantity.Current, "A"
			if l.Of == "power" {
				dim, unit = quantity.Power, "W"
			}
			r.warn(fmt.Sprintf("%s bears %s at %s %s; its limit is %s.", c.Name, quantity.Format(l.Value, dim, unit, -2), amperes(r.place.current), r.Input.conditionWords(),
				quantity.Format(l.Max, dim, unit, -2)), "a larger part, or a smaller current on the label", l.From)
		}
		return
	}
	value, limit := l.Value-zeroCelsius, l.Max-zeroCelsius
	switch {
	case r.place.air > l.Max:
		r.warn(fmt.Sprintf("%s may be %.0f °C, and the ambient alone is %s.", c.Name, limit, celsius(r.place.air)), "a part for more, or a cooler place", l.From)
	case value > limit:
		r.warn(fmt.Sprintf("The %s of %s reaches %.0f °C at %s %s; its limit is %.0f °C.", l.Of, c.Name, value, amperes(r.place.current), r.Input.conditionWords(), limit),
			"less loss there, a better way out for the heat, or a smaller current on the label", l.From)
	case value > derated*limit && l.Of == "junction":
		r.warn(fmt.Sprintf("The junction of %s reaches %.0f °C at %s %s; good practice keeps it to 0.8 of its %.0f °C.", c.Name, value, amperes(r.place.current), r.Input.conditionWords(), limit),
			"less loss there, or a better way out for the heat", "common practice")
	}
}

// touchLimit is how hot the outside of a case may be where a hand may touch it for a moment, K: metal 70 °C, plastic 95 °C
// (IEC 62368-1, table 38, accessible parts that are not held; from memory). ok is false for a wall that is not named.
func touchLimit(e hardware.Enclosure) (limit float64, ok bool) {
	switch e.Material {
	case "aluminium", "steel":
		return zeroCelsius + 70, true
	case "":
		return 0, false
	}
	return zeroCelsius + 95, true
}

// A Panel is a rule for how much panel a rating allows.
type Panel struct {
	Rule         string
	Factor       float64
	ShortCircuit float64 // A, the largest sum of short-circuit currents
	Source       string
}

// Panels are the largest panels for a rated current [Q10]. Edges of clouds last seconds to minutes: a case warms in tens of
// minutes, so its parts need not carry their factor for ever, but fuses and switches see it; it is told as if for ever, which
// is on the safe side.
func Panels(rated float64) []Panel {
	list := []Panel{
		{Rule: "for ever, 1.25 times the short-circuit current", Factor: 1.25, Source: "US National Electrical Code 690.8(A)(1); IEC 62548, from memory"},
		{Rule: "at the edge of a cloud, 1.5 times, seconds to minutes", Factor: 1.5, Source: "common practice; peaks over 1,400 W/m² are on record"},
	}
	for i := range list {
		list[i].ShortCircuit = math.Max(0, rated) / list[i].Factor
	}
	return list
}
