package fault

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"hindwatt/internal/hardware"
	"hindwatt/internal/page"
)

// digits writes a number with three significant digits.
func digits(x float64) string {
	if x == 0 {
		return "0"
	}
	if a := math.Abs(x); a >= 1000 || a < 1e-3 {
		if a >= 1000 && a < 1e6 {
			p := math.Pow(10, math.Floor(math.Log10(a))-2)
			return strconv.FormatFloat(math.Round(x/p)*p, 'f', -1, 64)
		}
		return strconv.FormatFloat(x, 'g', 3, 64)
	}
	return strconv.FormatFloat(round3(x), 'f', -1, 64)
}

func round3(x float64) float64 {
	v, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 3, 64), 64)
	return v
}

// duration writes a time in words.
func duration(s float64) string {
	switch {
	case s < 1e-3:
		return digits(s*1e6) + " µs"
	case s < 1:
		return digits(s*1e3) + " ms"
	case s < 120:
		return digits(s) + " s"
	case s < 7200:
		return digits(s/60) + " min"
	case s < 2*day:
		return digits(s/3600) + " h"
	}
	return digits(s/day) + " days"
}

// amperes writes a current.
func amperes(i float64) string {
	switch a := math.Abs(i); {
	case a >= 1:
		return digits(a) + " A"
	case a >= 1e-3:
		return digits(a*1e3) + " mA"
	default:
		return digits(a*1e6) + " µA"
	}
}

// branch is what a current can go through: a component, a wire laid, or what stands outside.
type branch struct {
	name     string
	from, to string
	amps     float64
	is       int  // component, −1 for others
	gives    bool // a source that drives its current, and is not driven
}

// branches of a stage, the sources first.
func (e *engine) branches(s *Stage) (sources, others []branch) {
	at := s.Connected
	add := func(list *[]branch, name string, pins [2]string, amps float64, is int) {
		if pins[0] == "" {
			return
		}
		gives := amps < 0
		if gives {
			pins, amps = reversed(pins), -amps
		}
		*list = append(*list, branch{name, pins[0], pins[1], amps, is, gives})
	}
	add(&sources, "the panel", at.Panel, -s.Panel, -1)
	add(&sources, "the battery", at.Battery, s.Battery, -1)
	if e.s.source[0] != "" {
		add(&sources, "the other source", e.s.source, e.source, -1)
	}
	add(&others, "the load", at.Load, s.Load, -1)
	for k := range e.s.wires {
		add(&others, "the leads that touch", [2]string{e.s.wires[k].a, e.s.wires[k].b}, s.Wires[k], -1)
	}
	for _, b := range s.Backward {
		i := e.place(b.Part)
		add(&others, called(&e.d.Components[i])+" the wrong way round", [2]string{b.From, b.To}, b.Current, i)
	}
	for i := range e.d.Components {
		add(&others, called(&e.d.Components[i]), [2]string{e.d.Components[i].From, e.d.Components[i].To}, s.Flows[i], i)
	}
	return sources, others
}

// tell words a stage and finds the way of its largest current.
func (e *engine) tell(s *Stage) (path []string, text string) {
	when := "For " + duration(s.Until-s.From)
	switch {
	case e.held > 0 || s.From >= hour && s.Until > hour:
		when = "Over seven days"
		if e.goes > 0 {
			when += ", with the battery at " + digits(e.goes) + " V,"
		}
	case s.From > 0 && s.Until >= hour && len(s.Gives) == 0:
		when = "After " + duration(s.From)
	case s.From > 0 && duration(s.From) == duration(s.Until):
		when = "At " + duration(s.From) + ", for " + duration(s.Until-s.From) + ","
	case s.From > 0:
		when = "From " + duration(s.From) + " to " + duration(s.Until)
	case len(s.Gives) == 0 && s.Until >= hour:
		when = "For an hour and more"
	}
	way, from, amps := e.way(s)
	flows := "no current to speak of flows"
	if amps > 1e-3*e.w.label {
		var names []string
		for _, b := range way {
			if b.is >= 0 {
				path = append(path, e.d.Components[b.is].Name)
			}
			names = append(names, b.name)
		}
		flows = fmt.Sprintf("%s flow from %s", amperes(amps), from)
		if len(names) > 0 {
			flows += " through " + page.And(names)
		}
	}
	text = when + " " + flows
	if math.Abs(s.misread) > leastMisread*e.w.nominal {
		text += fmt.Sprintf("; the control sees %s V %s than the battery has", digits(math.Abs(s.misread)), map[bool]string{true: "more", false: "less"}[s.misread > 0])
	}
	if n := len(s.broken); n > 0 {
		text += "; " + page.And(s.broken) + plural(n, " breaks", " break") + " through"
	}
	if s.held != "" {
		text += "; " + s.held + " would block that, but the control holds it on since it does not look for a current that turns back"
	}
	for _, g := range s.Gives {
		text += "; then " + g.Text
	}
	if e.event != "" {
		text += "; then " + e.event
	}
	return path, text + "."
}

const leastMisread = 2e-3 // of the nominal voltage, that is worth a word

// way follows the largest current from the source that drives most of it.
func (e *engine) way(s *Stage) (way []branch, from string, amps float64) {
	sources, others := e.branches(s)
	var first branch
	for _, b := range sources {
		if b.gives && b.amps > first.amps {
			first = b
		}
	}
	if first.amps == 0 {
		return nil, "", 0
	}
	// a source's own current enters at from and leaves at to
	used := map[string]bool{}
	for node := first.to; node != first.from && len(way) < 20; {
		var next branch
		for _, b := range append(others, sources...) {
			if b.from == node && !used[b.name+b.from+b.to] && b.name != first.name && b.amps > next.amps {
				next = b
			}
		}
		if next.amps < first.amps/10 {
			break
		}
		used[next.name+next.from+next.to] = true
		way = append(way, next)
		node = next.to
	}
	return way, first.name, first.amps
}

// reason says why something gives way.
func (e *engine) reason(b *bearing) string {
	name := e.calledAs(e.named(b.who))
	over := ""
	if b.limit > 0 && b.limit < forever && b.law == atOnce {
		unit, by := b.unit()
		over = fmt.Sprintf(" (%s %s, it bears %s)", digits(b.value*by), unit, digits(b.limit*by))
	}
	end := map[hardware.Condition]string{hardware.Bridged: " and it goes short", hardware.Interrupted: " and it goes open"}[b.become]
	if b.stays {
		end = ""
	}
	say := map[limit]string{
		ofJunction: "the junction of %s passes its limit", ofSurge: "the surge current of %s is passed", ofReverse: "%s stands more voltage the wrong way round than it bears",
		ofDrain: "%s stands more drain voltage than it bears", ofAvalanche: "the avalanche energy of %s is passed", ofEnergy: "the energy that %s takes is passed",
		ofVoltage: "%s stands more voltage than it bears", ofPower: "%s makes more heat than it bears", ofSupply: "the supply of %s passes its limit",
		ofBackward: "current flows backward through %s", ofMelting: "%s melts and opens", ofBreaking: "%s melts and cannot break such a current", ofInsulation: "the insulation of %s burns",
		ofCopper: "the copper of %s melts", ofBoard: "%s chars its board", ofContact: "%s gets too hot", ofCharge: "%s is drained flat",
		ofHeat: "%s overheats", ofWater: "%s as a whole has lost too much of its water", ofGas: "%s makes more gas than its room is aired for",
	}[b.of]
	if b.of == ofMelting {
		over, end = "", ""
	}
	return fmt.Sprintf(say, name) + over + end
}

// unit of a limit's value, and by what it is multiplied for it.
func (b *bearing) unit() (string, float64) {
	switch b.of {
	case ofReverse, ofDrain, ofVoltage, ofSupply:
		return "V", 1
	case ofSurge, ofBackward, ofBreaking, ofInsulation, ofCopper, ofBoard, ofMelting:
		return "A", 1
	case ofPower:
		return "W", 1
	case ofAvalanche, ofEnergy:
		return "J", 1
	case ofCharge:
		return "Ah", 1.0 / 3600
	case ofHeat:
		return "K", 1
	case ofWater:
		return "g", 1e3
	case ofGas:
		return "mA/Ah", 1
	}
	return "", 1
}

// nouns are what kinds of parts are called before a name that does not say it.
var nouns = map[string]string{"mosfet": "switch", "contact": "contact", "track": "track", "wire": "wire", "resistor": "resistor", "diode": "diode",
	"clamp": "clamp", "capacitor": "capacitor", "fuse": "fuse", "regulator": "regulator", "control": "control", "reference": "reference", "thermistor": "thermistor"}

// called is a component in a sentence: a mark such as q1 by itself, a word such as fuse as "the fuse", others as "the track minus".
func called(c *hardware.Component) string {
	switch noun := nouns[c.Kind]; {
	case strings.ContainsAny(c.Name, "0123456789"):
		return c.Name
	case noun == "" || strings.Contains(c.Name, noun):
		return "the " + c.Name
	default:
		return "the " + noun + " " + c.Name
	}
}

// calledAs is called for what has a name, a component or what stands outside.
func (e *engine) calledAs(name string) string {
	if i := e.place(name); i >= 0 {
		return called(&e.d.Components[i])
	}
	return "the " + name
}

// loss says what has come to harm.
func (e *engine) loss(h Harm, b *bearing) string {
	outside, name := b == nil || b.who >= len(e.flows), e.calledAs(h.What)
	switch {
	case b == nil, b.of == ofCharge && h.End == Recovers:
		return "the battery's own protection opens"
	case h.End == Recovers && b.of == ofJunction:
		return name + " gets too hot and shuts down"
	case h.End == Recovers:
		return name + " is to be replaced"
	case h.End == Hazard && h.Kind == "gas":
		return "the battery gives off acid and gas that can explode"
	case h.End == Hazard:
		return name + " gets hot enough to burn"
	case outside && b.of == ofReverse:
		return "the load is harmed by voltage the wrong way round"
	case outside && b.of == ofVoltage:
		return "the load is harmed by too much voltage"
	case outside && b.of == ofWater:
		return "the battery dries out"
	case outside:
		return "the battery is drained flat"
	case b.become == hardware.Bridged:
		return name + " is lost (gone short)"
	}
	return name + " is lost (gone open)"
}

// ending says how a case ends.
func (e *engine) ending() string {
	o := e.o
	var texts []string
	for _, h := range o.Harm {
		texts = append(texts, h.Text)
	}
	switch {
	case len(texts) > 0:
		return page.Capital(o.End.String()) + ": " + page.And(texts) + "."
	default:
		return "Unharmed: nothing gives way."
	}
}
