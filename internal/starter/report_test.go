package starter

import (
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// TestReport: what was taken otherwise than typed and what is still open is said, in the report and in README.md.
func TestReport(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "reed")
	a := Answers{SoldUntil: "2021", Sold: "about 300", Voltage: "12..24 V", Current: "8..10 A", SpentOtherwise: "5 CHF", Circuit: "shunt"}
	report, err := write(dir, a, testDay)
	must(t, err)
	got := report.String()
	head, rest, _ := strings.Cut(got, "voltage: ")
	if !strings.HasPrefix(head, "wrote "+dir+":\n  product.toml\n  parts.toml\n") || !strings.HasSuffix(head, "\n  records/readings.csv\n"+
		strconv.Itoa(report.Typical)+" values are typical ones, each marked so in its line: put your own in their place\n") {
		t.Errorf("it begins\n%s", head)
	}
	const want = `12 V stands in the folder, of 12..24 V; a folder holds one, so start another for the other
current: 10 A stands in the folder, the upper end of 8..10 A
kept in README.md until their dates are known: 300 sold; 5 CHF spent otherwise; sold until 2021-12-31
Did it pay? Not yet: it needs
  production.toml: work.price (such as 34 CHF)
  records/sold.csv: date (such as 2021-01-01)
What does one cost to make? Not yet: it needs
  production.toml: bom.parts.prices (such as 1:9.80 CHF)
  production.toml: step.make.minutes (such as 30..45 min)
How often does it come back? Not yet: it needs
  records/sold.csv: date (such as 2021-01-01)
  records/returned.csv: date, until, count (such as 2021-01-01, 2023-12-31, 5..10)
What did the bench say? Not yet: it needs
  records/readings.csv: date, what, value, meter (such as 2024-05-31, setpoint.float, 13.68 V, bench)
`
	if rest != want {
		t.Errorf("it ends\n%s\nwant\n%s", rest, want)
	}
	readme := listing(t, dir)[filepath.Join(dir, "README.md")]
	for _, line := range []string{
		"- current: 10 A stands in the folder, the upper end of 8..10 A\n",
		"- kept in README.md until their dates are known: 300 sold; 5 CHF spent otherwise; sold until 2021-12-31\n",
		"| Did it pay? | records/sold.csv: date | 2021-01-01 |\n",
	} {
		if !strings.Contains(readme, line) {
			t.Errorf("README.md lacks %q:\n%s", line, readme)
		}
	}
}

// TestReportCountsTypical counts the lines that carry a value and the mark behind it.
func TestReportCountsTypical(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "reed")
	report, err := Write(dir, Answers{})
	must(t, err)
	lines := 0
	for path, text := range listing(t, dir) {
		if !strings.HasSuffix(path, ".toml") {
			continue
		}
		for line := range strings.Lines(text) {
			if value, comment, ok := strings.Cut(line, "  # typical: "); ok && strings.Contains(value, "=") && comment != "" {
				lines++
			}
		}
	}
	if lines != report.Typical {
		t.Errorf("%d lines are marked typical, %d reported", lines, report.Typical)
	}
}
