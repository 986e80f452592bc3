package charge

import (
	"fmt"
	"strings"

	"hindwatt/internal/page"
)

// inputs are those that the answer rests on.
func (r *Result) inputs() []page.Input {
	in, m := &r.Input, r.model
	var list []page.Input
	add := func(name string, v *Value, otherwise, note string) {
		switch {
		case v != nil:
			list = append(list, page.Input{Name: name, Text: v.Quantity.String(), From: v.From, Note: note})
		case otherwise != "":
			list = append(list, page.Input{Name: name, Text: otherwise, From: "default", Note: note})
		}
	}
	if w := in.Weather; w != nil {
		list = append(list, page.Input{Name: "weather", Text: in.WeatherFrom, From: in.file(), Note: strings.TrimSuffix(fmt.Sprintf("%s, years: %d, %s", w.Layout, len(w.Years), w.Title), ", ")})
	}
	add("latitude", in.Latitude, "", "")
	add("elevation", in.Elevation, "0 m", "")
	add("panel.tilt", in.Panel.Tilt, "", "")
	add("panel.azimuth", in.Panel.Azimuth, "", "")
	add("panel.soiling", in.Panel.Soiling, "0 %", "")
	add("panel.ground", in.Panel.Ground, "0.2", "")
	add("panel.peak_power", in.Panel.PeakPower, "", fmt.Sprintf("%s, %s", in.Panel.Part, joined(in.Panel.Series, in.Panel.Parallel)))
	add("battery.capacity", in.Battery.Capacity, "", fmt.Sprintf("%s, %s, %s; %d cells in a row", in.Battery.Part, words(in.Battery.Chemistry), joined(in.Battery.Series, in.Battery.Parallel), m.count))
	add("battery.gassing", in.Battery.Gassing, "as usual for the chemistry", "half to twice")
	add("battery.age", in.Battery.Age, "0 years", "")
	add("battery.rise", in.Battery.Rise, "0 K", "above the air")
	for _, l := range in.Loads {
		note := "day and night"
		if l.From != l.Until {
			note = fmt.Sprintf("from %s to %s", clock(l.From), clock(l.Until))
		}
		if l.Share != nil && l.Share.Quantity.Value < 1 {
			note += ", " + percent(l.Share.Quantity.Value) + " of the time"
		}
		add("load."+l.Name+".current", l.Current, "", note)
		add("load."+l.Name+".power", l.Power, "", note)
	}
	add("regulation.absorption", in.Regulation.Absorption, "", "at 25 °C")
	add("regulation.float", in.Regulation.Float, "", "at 25 °C")
	add("regulation.equalise", in.Regulation.Equalise, "", "at 25 °C, each 30 days (common practice; there is no key for it)")
	add("regulation.temperature_compensation", in.Regulation.Compensation, "none", "")
	if e := in.Regulation.Error; e != nil {
		list = append(list, page.Input{Name: "setpoint", Text: fmt.Sprintf("off by %+.0f mV sd %.0f mV", 1000*e.Quantity.Value, 1000*e.Quantity.SD), From: e.From, Note: "as units hold the absorption level"})
	}
	add("standby.by_day", in.Regulation.StandbyDay, amperes(m.sum), "")
	add("standby.by_night", in.Regulation.StandbyNight, amperes(m.asleep), "")
	return list
}

// joined says how many of a part there are and how they are wired.
func joined(series, parallel int) string {
	series, parallel = max(1, series), max(1, parallel)
	switch {
	case series*parallel == 1:
		return "one"
	case parallel == 1:
		return fmt.Sprintf("%d in series", series)
	case series == 1:
		return fmt.Sprintf("%d in parallel", parallel)
	}
	return fmt.Sprintf("%d in series, %d such rows in parallel", series, parallel)
}

// words reads a keyword aloud.
func words(keyword string) string { return strings.ReplaceAll(keyword, "-", " ") }

func clock(s float64) string { return fmt.Sprintf("%02d:%02d", int(s)/3600, int(s)%3600/60) }
