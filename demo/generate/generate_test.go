package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

const example = "../osier-24"

func read(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(example, name))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func TestCommittedRecordsAreWhatIsGenerated(t *testing.T) {
	for name, table := range records() {
		if want := read(t, filepath.Join("records", name)); !bytes.Equal(table.bytes(), []byte(want)) {
			t.Errorf("records/%s is not what the generator writes; run go run ./demo/generate", name)
		}
	}
	files, err := os.ReadDir(filepath.Join(example, "records"))
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != len(records()) {
		t.Errorf("%d files in records, %d generated", len(files), len(records()))
	}
}

// The logs of the bench are small, and what is generated.
func TestCommittedLogsAreWhatIsGenerated(t *testing.T) {
	for name, log := range logs() {
		if want := read(t, filepath.Join("bench", name)); string(log) != want {
			t.Errorf("bench/%s is not what the generator writes; run go run ./demo/generate", name)
		}
		if len(log) > 100_000 {
			t.Errorf("bench/%s has %d bytes, want at most 100,000", name, len(log))
		}
		if run := read(t, filepath.Join("bench", strings.TrimSuffix(name, ".csv")+".toml")); !strings.Contains(run, "INVENTED") || !strings.Contains(run, "\ninvented ") {
			t.Errorf("the run of %s does not say that it is invented", name)
		}
	}
}

// The generator's numbers stand in the folder too; this holds the two together.
func TestDesignIsWhatTheFolderSays(t *testing.T) {
	for file, lines := range map[string][]string{
		"product.toml": {
			`top          = "120 kΩ ±1 % ±100 ppm/K"`, `bottom       = "10 kΩ ±1 % ±100 ppm/K"`,
			`reference    = "2.5 V ±0.4 % ±100 ppm/K"`, `bits         = 10`, `offset       = "±2 LSB"`,
			`nonlinearity = "±1 LSB"`, `leakage      = "±50 nA"`, `sensor_error = "±1 K"`, `board_rise   = "2 K..6 K"`,
			`float      = "27.3 V"`, `absorption = "28.8 V for 2 h"`, `load_disconnect   = "22.8 V"`,
			`load_reconnect    = "25.2 V"`, `temperature_compensation = "-36 mV/K"`, `compensation_limits      = "-10..50 °C"`,
			`{ at = "27.3 V", by = "bench-2", temperature = "21 °C", method = "gain" }`, `from_serial     = "0857"`,
		},
		"variants/rev-b.toml": {`"product.sense.trimmed"   = "none"`, `from_serial = "0373"`},
		"variants/rev-a.toml": {`"2.5 V ±1 % ±100 ppm/K"`, `"product.sense.sensor"     = "board"`, `from_serial = "0001"`},
		"bench/meters.toml": {
			`accuracy = "±(0.05 % + 3 digits)", digit = "1 mV"`, `accuracy = "±(0.1 % + 2 digits)", digit = "10 mV"`,
			`accuracy = "±(0.5 % + 2 digits)", digit = "10 mV"`,
			`accuracy = "±(0.05 % + 2 digits)", digit = "1 mV"`, `accuracy = "±(0.5 % + 5 digits)", digit = "1 mA"`, `accuracy = "±(0.2 % + 5 digits)", digit = "0.1 K"`,
		},
	} {
		text := read(t, file)
		for _, line := range lines {
			if !strings.Contains(text, line) {
				t.Errorf("%s does not have %s, which the generator draws from", file, line)
			}
		}
	}
}

// A perfect unit, read with a perfect meter, stops where it should; and one percent more
// in the upper resistor is 12/13 of a percent more at the terminals.
func TestChain(t *testing.T) {
	d := stream(99)
	unit := func(r1 float64) *chain {
		return &chain{factor: 1, r1: r1}
	}
	mean := func(c *chain, level, air float64, compensated bool) float64 {
		var sum float64
		const n = 20000
		for range n {
			sum += c.stops(level, air, compensated, d) / n
		}
		return sum
	}
	const step = 32.5 / 1024
	near := 5 * step / math.Sqrt(12*20000) // five standard deviations of a mean of steps
	for _, c := range []struct {
		what         string
		got, want    float64
		alsoRelative float64
	}{
		{"float at 25 °C", mean(unit(0), 27.3, 25, true), 27.3, 0},
		{"float at 5 °C", mean(unit(0), 27.3, 5, true), 27.3 + 0.72, 0},
		{"float at -30 °C, held from -10 °C", mean(unit(0), 27.3, -30, true), 27.3 + 1.26, 0},
		{"disconnect with r1 1 % high", mean(unit(0.01), 22.8, 5, false), 22.8 * (1 + 0.01*12/13), 0.01},
	} {
		if tol := near * (1 + c.alsoRelative); math.Abs(c.got-c.want) > tol {
			t.Errorf("%s: %.4f V, want %.4f V within %.4f V", c.what, c.got, c.want, tol)
		}
	}
}

// Trimming leaves no more than the jig's meter, its last digit, half a step of the trim and the
// nonlinearity and step of two codes.
func TestTrimBoundsFloatAtTheTrim(t *testing.T) {
	d, g := stream(98), designOf("C")
	g.drift, g.leakage, g.sensorError = 0, 0, 0
	jig := newMeter(d, "jig", 0.001, 2, 0.01)
	const step = 32.5 / 1024
	const largest = step * (1 + 0.004 + 2*0.01*12/13) * 1.001 // of any unit, with what the product of limits adds
	limit := 0.001*trimAt + 2*0.01 + 0.005 + step/2 + (1+0.5)*2*largest
	worst := 0.0
	for range 5000 {
		c := newChain(d, g, 0, jig)
		worst = math.Max(worst, math.Abs(c.stops(trimAt, 25, true, d)-trimAt))
	}
	if worst > limit || worst < limit/3 {
		t.Errorf("worst float after the trim is off by %.3f V; want up to %.3f V and not far less", worst, limit)
	}
}

// README.md says how many rows there are.
func TestReadmeCounts(t *testing.T) {
	text := read(t, "README.md")
	for name, what := range map[string]string{"made.csv": "%s units that were begun", "sold.csv": "%s units sold",
		"returned.csv": "%s that came back", "readings.csv": "%s readings of setpoints"} {
		n := strconv.Itoa(len(records()[name].rows))
		if len(n) > 3 {
			n = n[:len(n)-3] + "," + n[len(n)-3:]
		}
		if want := fmt.Sprintf(what, n); !strings.Contains(text, want) {
			t.Errorf("README.md does not say %q", want)
		}
	}
}

func TestRecordsHoldTogether(t *testing.T) {
	units := makeUnits(stream(1))
	sell(units, stream(2))
	sold, revisions := 0, map[string]int{}
	for _, u := range units {
		revisions[u.batch.revision]++
		if u.sold.IsZero() {
			continue
		}
		sold++
		if !u.sold.After(u.made) || u.sold.After(lastDay) || u.result == "scrap" {
			t.Errorf("unit %d: made %s, %s, sold %s", u.serial, day(u.made), u.result, day(u.sold))
		}
	}
	if revisions["A"] != 372 || revisions["A"]+revisions["B"] != 856 {
		t.Errorf("%v units a revision; the first of B is to be 0373 and of C 0857", revisions)
	}
	if sold < 1380 || sold > 1430 {
		t.Errorf("%d sold, want about 1,400", sold)
	}
	for _, c := range comeBack(units, stream(3)) {
		if !c.day.After(c.unit.sold) || c.day.After(c.unit.sold.AddDate(2, 0, 0)) || c.day.After(lastDay) {
			t.Errorf("unit %d sold %s came back %s", c.unit.serial, day(c.unit.sold), day(c.day))
		}
	}
}

// Drawn often enough, b14 comes back about four times as often as the others, and in three of ten no fault is found.
func TestReturnsComeAtTheRatesTold(t *testing.T) {
	units := makeUnits(stream(1))
	sell(units, stream(2))
	onSale := map[bool]float64{}
	for _, u := range units {
		if !u.sold.IsZero() {
			onSale[u.batch.name == crackedBatch]++
		}
	}
	back, noFault := map[bool]float64{}, 0.0
	for i := range uint64(300) {
		for _, c := range comeBack(units, stream(1000+i)) {
			back[c.unit.batch.name == crackedBatch]++
			if !c.fault {
				noFault++
			}
		}
	}
	ratio := back[true] / onSale[true] / (back[false] / onSale[false])
	if ratio < 3 || ratio > 5 {
		t.Errorf("the cracked batch comes back %.1f times as often, want about 4", ratio)
	}
	if share := noFault / (back[true] + back[false]); share < 0.25 || share > 0.35 {
		t.Errorf("no fault in %.2f of returns, want about 0.3", share)
	}
}
