package starter

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/pelletier/go-toml/v2"
)

// part returns the part of a question by its flag.
func partOf(t *testing.T, flag string) Part {
	t.Helper()
	for _, q := range Questions() {
		for _, p := range q.Parts {
			if p.Flag == flag {
				return p
			}
		}
	}
	t.Fatalf("no question has the flag %s", flag)
	return Part{}
}

func TestQuestions(t *testing.T) {
	if n := len(Questions()); n != 8 {
		t.Errorf("%d questions, want 8", n)
	}
	var flags []string
	for _, q := range Questions() {
		for _, p := range q.Parts {
			flags = append(flags, p.Flag)
			if err := p.Check(p.Example); err != nil {
				t.Errorf("--%s: the example %q is refused: %v", p.Flag, p.Example, err)
			}
			if err := p.Check(""); err != nil {
				t.Errorf("--%s: nothing is refused: %v", p.Flag, err)
			}
		}
	}
	const want = "price parts minutes sold-from sold-until sold came-back spent voltage current circuit"
	if got := strings.Join(flags, " "); got != want {
		t.Errorf("flags %s, want %s", got, want)
	}
}

func TestAccepts(t *testing.T) {
	for _, c := range []struct{ flag, answer string }{
		{"price", "34.50 EUR"}, {"price", "~34 EUR"}, {"price", "About 34 EUR"}, {"price", "30..40 GBP"}, {"price", "34 EUR ±2 EUR"}, {"price", "0 JPY"},
		{"minutes", "35"}, {"minutes", "30..45"}, {"minutes", "0.5 h"}, {"minutes", "ca. 35 min"},
		{"sold", "1400"}, {"sold", "1300..1500"}, {"sold", "about 300"}, {"sold", "300 ±20"}, {"came-back", "0"},
		{"sold-from", "2021"}, {"sold-from", "2021-05"}, {"sold-from", "2021-05-31"}, {"sold-from", "2021..2023-06"}, {"sold-until", "today"}, {"sold-from", "about 2021"},
		{"voltage", "12 V"}, {"voltage", "24V"}, {"voltage", "12..24 V"}, {"voltage", "11..13 V"}, {"current", "500 mA"}, {"current", "8..10 A"},
		{"circuit", "shunt"}, {"circuit", "Back-to-Back"}, {"circuit", "3"}, {"price", "   "},
	} {
		if err := partOf(t, c.flag).Check(c.answer); err != nil {
			t.Errorf("--%s %q is refused: %v", c.flag, c.answer, err)
		}
	}
}

func TestRefuses(t *testing.T) {
	const (
		money = "; want a sum of money such as 34 EUR or 30..40 EUR"
		units = "; want a number of units such as 300, about 300 or 250..350"
		times = "; want a time such as 35 min or 30..45 min"
		dates = "; want a year, a month or a day such as 2021, 2021-05 or 2021-05-31"
		volts = "no typical values are known for it; want 12 V or 24 V: begin with the nearer and change the files"
		amps  = "; want a current from 0.1 A to 60 A, such as 5 A"
	)
	for _, c := range []struct{ flag, answer, want string }{
		{"price", "-1 EUR", "too small" + money},
		{"price", "-5..5 EUR", "too small" + money},
		{"price", "1e13 EUR", "too large" + money},
		{"price", "34 EUR sd 2 EUR", "more than a figure or a range" + money},
		{"price", "about", `"about" does not start with a number` + money},
		{"price", strings.Repeat("9", 101) + " EUR", "too long" + money},
		{"minutes", "0", "too small" + times},
		{"sold", "2.5", "not a whole number" + units},
		{"sold", "2 %", "not a whole number" + units},
		{"sold", "-3", "too small" + units},
		{"sold-from", "2021-13", "not a date" + dates},
		{"sold-from", "2023-02-29", "not a date" + dates},
		{"sold-from", "31.5.2021", "not a date" + dates},
		{"sold-from", "2023..2021", "ends before it begins" + dates},
		{"sold-from", "0021", "not a date" + dates},
		{"sold-from", "2999", "lies ahead; want the day of the first sale, at the latest today"},
		{"voltage", "13 V", volts},
		{"voltage", "48 V", volts},
		{"current", "0 A", "too small" + amps},
		{"current", "200 A", "too large" + amps},
		{"circuit", "series", "no such circuit; want one of series-negative, series-negative-lead, series-positive, shunt, back-to-back"},
		{"circuit", "6", "no such circuit; want one of series-negative, series-negative-lead, series-positive, shunt, back-to-back"},
	} {
		err := partOf(t, c.flag).Check(c.answer)
		if err == nil || err.Error() != c.want {
			t.Errorf("--%s %q: %v\n want %s", c.flag, c.answer, err, c.want)
		}
	}
}

// hostile are answers that no question accepts.
var hostile = []string{"=cmd|' /C calc'!A0", "@SUM(1)", `34 EUR", "x`, "34 EUR\n[circuit]", "34 EUR\r\n", "1e400 EUR", "-1e400 EUR",
	"NaN EUR", "inf EUR", "+Inf", "-12 V", "\x00", "\xff\xfe", "34 EUR,,", "'; rm -rf", "{{.Name}}", "\u202e34", "34 EUR 35 EUR", "..", "..3 EUR", "3.. EUR", strings.Repeat("x", 1<<20)}

func TestRefusesHostile(t *testing.T) {
	for _, q := range Questions() {
		for _, p := range q.Parts {
			for _, answer := range hostile {
				err := p.Check(answer)
				if answer == "34 EUR\r\n" && (p.Flag == "price" || p.Flag == "parts" || p.Flag == "spent") {
					continue // space around an answer is no harm
				}
				if err == nil {
					t.Errorf("--%s %.40q is accepted", p.Flag, answer)
				} else if _, err := read(answersWith(p.Key, answer), testDay); len(err.Error()) > 1000 {
					t.Errorf("--%s %.40q: the error has %d bytes", p.Flag, answer, len(err.Error()))
				}
			}
		}
	}
	for _, name := range []string{hostile[0], "@SUM(1)", `34 EUR", "x`, "a\n[circuit]", "\x00", "\xff\xfe", "'; rm -rf", "{{.Name}}", "a{{.Name}}", "\u202e34",
		"-x", " =x", `a"b`, "a\\b", "a\nb", "a\tb", "#a", "a#b", "a[b]", "a`b`", "a<b>", "a|b", "..", strings.Repeat("x", 101)} {
		if _, err := read(Answers{Name: name}, testDay); err == nil {
			t.Errorf("--name %.40q is accepted", name)
		}
	}
	for _, name := range []string{"Osier 24", "Löwe-2, rev. B", "充電器", "3 A (small)", "ß"} {
		if _, err := read(Answers{Name: name}, testDay); err != nil {
			t.Errorf("--name %q is refused: %v", name, err)
		}
	}
}

func answersWith(key, answer string) (a Answers) {
	*a.field(key) = answer
	return a
}

func TestAnswersTogether(t *testing.T) {
	for _, c := range []struct {
		answers Answers
		want    string
	}{
		{Answers{Price: "34 EUR", PartsCost: "9 USD"}, `--parts "9 USD": another currency; want all money in EUR, one currency to a folder`},
		{Answers{PartsCost: "9 USD", SpentOtherwise: "1 EUR"}, `--spent "1 EUR": another currency; want all money in USD, one currency to a folder`},
		{Answers{Sold: "3", CameBack: "4"}, `--came-back "4": more than were sold; want at most 3`},
		{Answers{Sold: "3..8", CameBack: "9..10"}, `--came-back "9..10": more than were sold; want at most 8`},
		{Answers{SoldFrom: "2022", SoldUntil: "2021-06"}, `--sold-until "2021-06": lies before the first sale, 2022-01-01; want a later day`},
		{Answers{SoldFrom: "2024-06"}, `--sold-from "2024-06": lies ahead; want the day of the first sale, at the latest today`},
		{Answers{Sold: "3..8", CameBack: "8"}, ""},
		{Answers{SoldFrom: "2024-05", SoldUntil: "2024"}, ""},
	} {
		_, err := read(c.answers, testDay)
		if got := errorText(err); got != c.want {
			t.Errorf("%+v: %q, want %q", c.answers, got, c.want)
		}
		var one *AnswerError
		if err != nil && !errors.As(err, &one) {
			t.Errorf("%+v: not an AnswerError", c.answers)
		}
	}
}

func errorText(err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}

// TestPeriods: a year and a month stand for all of their days, leap years too, and end today at the latest.
func TestPeriods(t *testing.T) {
	for _, c := range []struct{ from, until, first, last string }{
		{"2021", "2023", "2021-01-01", "2023-12-31"},
		{"2021-05", "2024-02", "2021-05-01", "2024-02-29"},
		{"2021-05-17", "2021-05-17", "2021-05-17", "2021-05-17"},
		{"2021..2022-02", "", "2021-01-01", "2022-02-28"},
		{"2020..2021", "2022..2023", "2020-01-01", "2023-12-31"},
		{"2021", "2024", "2021-01-01", "2024-05-31"},
		{"2021", "Today", "2021-01-01", "2024-05-31"},
		{"2021", "", "2021-01-01", "2024-05-31"},
		{"", "2021", "", "2021-12-31"},
	} {
		g, err := read(Answers{SoldFrom: c.from, SoldUntil: c.until}, testDay)
		if first, last := dayText(g.from), dayText(g.until); err != nil || first != c.first || last != c.last {
			t.Errorf("%s, %s: %s to %s, want %s to %s (%v)", c.from, c.until, first, last, c.first, c.last, err)
		}
	}
}

func dayText(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(day)
}

// FuzzAnswers sees that whatever is accepted makes files that can be read, with the answers in them.
func FuzzAnswers(f *testing.F) {
	for _, a := range answerSets {
		f.Add(a.Price, a.Minutes, a.SoldFrom, a.SoldUntil, a.Sold, "24 V", a.Current, "shunt", a.Name)
	}
	for _, x := range hostile {
		f.Add(x, x, x, x, x, x, x, x, x)
	}
	f.Fuzz(func(t *testing.T, price, minutes, from, until, sold, voltage, current, circuit, name string) {
		a := Answers{Price: price, PartsCost: price, SpentOtherwise: price, Minutes: minutes, SoldFrom: from, SoldUntil: until,
			Sold: sold, CameBack: sold, Voltage: voltage, Current: current, Circuit: circuit, Name: name}
		g, err := read(a, testDay)
		if err != nil {
			return
		}
		files, err := render(g)
		if err != nil {
			t.Fatalf("%+v: %v", a, err)
		}
		for _, file := range files {
			var tree map[string]any
			if !strings.HasSuffix(file.path, ".toml") {
				continue
			}
			if err := toml.Unmarshal(file.text, &tree); err != nil {
				t.Fatalf("%+v: %s: %v\n%s", a, file.path, err, file.text)
			}
			if got := tree["name"]; file.path == productFile && got != g.name {
				t.Fatalf("name %q became %q", g.name, got)
			}
		}
	})
}
