package promise

import (
	"math"
	"strings"

	"hindwatt/internal/bind"
	"hindwatt/internal/product"
	"hindwatt/internal/promise/kept"
	"hindwatt/internal/quantity"
	"hindwatt/internal/statistics/fit"
	"hindwatt/internal/study/bench/soak"
	"hindwatt/internal/study/bench/trace"
	"hindwatt/internal/study/rating"
)

// soaked are the places fitted last: a fit takes a second, and rests on the log alone.
var soaked kept.Memory[*soak.Result]

// lookAtSoak fits each place that was soaked; what the run shows of them stands as readings by hand.
func (s *session) lookAtSoak(read *runRead, run *product.Run) ([]product.Reading, error) {
	in, notes, err := bind.Soaks(s.product, read.name)
	read.notes = notes
	if err != nil {
		return nil, err
	}
	var warm []*warmed
	for _, place := range in.Places {
		found, err := soaked.Result("soak", place.Input, func() (*soak.Result, error) { return soak.Run(place.Input) })
		if err != nil { // the other places count
			read.fail(err, run)
			continue
		}
		warm = append(warm, &warmed{place, found})
		read.page.Append(place.Place, found.Page())
		read.figure(place.Place+" temperature", found.Temperature, quantity.TemperaturePoint, "°C")
		if found.Resistance != nil {
			read.figure(place.Place+" thermal resistance", *found.Resistance, quantity.ThermalResistance, "K/W")
		}
		if w := warm[len(warm)-1]; found.Resistance != nil && in.Current != nil && s.outside(w) {
			at := rating.Reading{Quantity: rating.CaseResistance, Value: found.Resistance.Best, Air: found.Temperature.Best - found.Rise.Best, Current: *in.Current}
			if in.Load != nil {
				at.Load = *in.Load
			}
			read.resistances = append(read.resistances, caseResistance{*found.Resistance, at})
		}
	}
	var readings []product.Reading
	for k, shows := range run.Shows.Items {
		name, isRating := strings.CutPrefix(bind.Plain(shows.Text), "rating.")
		r := bind.RunReading(run, k, bind.RunSerial(run))
		held(&r, in)
		switch {
		case !isRating:
		case name == "drop" || name == "load-drop":
			if s.showsDrop(&r, in, name) {
				readings = append(readings, r)
				continue
			}
		default:
			w := s.soakedAt(warm, name)
			if w != nil && (w.found.RiseWithoutMeter.OpenLow || w.found.RiseWithoutMeter.OpenHigh) {
				read.doubt(shows.Leaf, "shows nothing yet: the run was stopped before the steady temperature had limits", "go on until the temperature changes by less than 1 K in a quarter of an hour")
				continue
			}
			if w != nil {
				w.reads(&r)
				readings = append(readings, r)
				continue
			}
		}
		if len(warm) < len(in.Places) { // of one that could not be fitted it is said above
			continue
		}
		read.doubt(shows.Leaf, "shows nothing: no probe of the log sat there", "mend shows, or the place of a column")
	}
	return readings, nil
}

// warmed is a place and what its log tells.
type warmed struct {
	bind.Warmed
	found *soak.Result
}

// soakedAt is the place that a reading is of: a part by its name, the outside of the case by the name of an enclosure; nil if none is.
func (s *session) soakedAt(warm []*warmed, name string) *warmed {
	part, ofPart := strings.CutPrefix(name, partReading)
	for _, w := range warm {
		if ofPart && w.Is(part) {
			return w
		}
		if name == "touch-temperature" && s.outside(w) {
			return w
		}
	}
	return nil
}

// outside reports whether a probe sat on an enclosure.
func (s *session) outside(w *warmed) bool {
	for enclosure := range s.product.Enclosures.All() {
		if w.Is(enclosure) {
			return true
		}
	}
	return false
}

// reads gives a reading the steady temperature, with the spread that is not the meter's.
func (w *warmed) reads(r *product.Reading) {
	found, in := w.found, &w.found.Input
	ambient := found.Temperature.Best - found.Rise.Best
	r.Ambient = inRun(r.Leaf, ambient, quantity.TemperaturePoint, "°C", 1)
	r.Value.Quantity = inRun(r.Leaf, found.Temperature.Best, quantity.TemperaturePoint, "°C", 1)
	i := found.RiseWithoutMeter
	own := (i.High - i.Low) / 2 / normal95
	if air := in.AmbientMeter; air.Known() && (in.Meter == nil || air.Name != in.Meter.Name) {
		own = math.Hypot(own, air.Accuracy.Limit(ambient-zeroCelsius, air.Digit)/math.Sqrt(3)) // JCGM 100, 4.3.7
	}
	if own > 0 {
		r.Value.Spread, r.Value.SD = quantity.Normal, own
	}
	if in.Meter != nil {
		r.Meter = product.Name{Leaf: product.Leaf{Origin: r.Origin, Text: in.Meter.Name}}
	}
}

// held gives a reading the currents of the run.
func held(r *product.Reading, in bind.Soak) {
	for _, one := range []struct {
		to   *product.Quantity
		held *float64
	}{{&r.ChargeCurrent, in.Current}, {&r.LoadCurrent, in.Load}} {
		if one.held != nil {
			*one.to = inRun(r.Leaf, *one.held, quantity.Current, "A", 3)
		}
	}
}

// showsDrop gives a reading the drop at the end of the run.
func (s *session) showsDrop(r *product.Reading, in bind.Soak, name string) bool {
	across := "controller"
	if name == "load-drop" {
		across = "load"
	}
	for _, d := range in.Drops {
		if !d.Is(across) || len(d.Late) < 2 {
			continue
		}
		level, err := trace.Hold(d.Late, d.Gauge, 0)
		if err != nil {
			continue
		}
		valued(r, level.Best, level.Noise, d.Gauge)
		r.Ambient = inRun(r.Leaf, d.Air, quantity.TemperaturePoint, "°C", 1)
		return true
	}
	return false
}

// figure adds a figure with limits.
func (r *runRead) figure(name string, i fit.Interval, dim quantity.Dimension, unit string) {
	r.figures = append(r.figures, Figure{r.name + " " + name, Interval{i.Best, i.Low, i.High, i.OpenLow, i.OpenHigh}, dim, unit})
}
