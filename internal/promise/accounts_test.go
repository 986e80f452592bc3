package promise

import (
	"context"
	"maps"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"hindwatt/internal/product"
)

// written is a folder of these files, read as of a day that no clock moves.
func written(t *testing.T, files map[string]string) *product.Folder {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	folder, err := product.Read(dir, product.Today(time.Date(2024, 5, 31, 0, 0, 0, 0, time.UTC)))
	if err != nil {
		t.Fatal(err)
	}
	return folder
}

// 100 sold at 40 EUR; parts were 1200 EUR, 60 h of making and 20 h of design went into them: 2800/80 = 35 EUR/h. By the list a unit's parts
// are 8 EUR and it takes half an hour: 3200/(50 + 20) = 45.71 EUR/h. By hand.
var oneRevision = map[string]string{
	"product.toml":    "name = \"invented\"\ncurrency = \"EUR\"\nrevision = \"A\"\nmade_from = 2021-01-01\n",
	"production.toml": "[bom.parts]\nprices = \"1:8 EUR\"\n[step.make]\nminutes = \"30 min\"\n",
	"promises.toml": "[promise.pay]\nlabel = \"An hour pays 30 EUR\"\nstudy = \"accounts\"\nquantity = \"hour-paid\"\nmin = \"30 EUR/h\"\n" +
		"[promise.kept]\nlabel = \"2900 EUR are left\"\nstudy = \"accounts\"\nquantity = \"net\"\nmin = \"2900 EUR\"\n",
	"records/made.csv":  "date,until,count\n2021-01-01,2021-12-31,100\n",
	"records/sold.csv":  "date,until,count,price\n2021-01-01,2021-12-31,100,40 EUR\n",
	"records/spent.csv": "date,kind,amount\n2021-01-01,Materials,1200 EUR\n",
	"records/hours.csv": "date,until,kind,time\n2021-01-01,2021-12-31,Assembly,60 h\n2021-01-01,,design,20 h\n",
}

func (e Evidence) exactly(t *testing.T, want float64) {
	t.Helper()
	for _, v := range []float64{e.Best, e.Low, e.High} {
		if math.Abs(v-want) > 1e-9*math.Abs(want) {
			t.Errorf("%s: %v, %v to %v; want %v", e.Kind, e.Best, e.Low, e.High, want)
		}
	}
}

func TestHourPaidByListDisagrees(t *testing.T) {
	report := verdicts(t, written(t, oneRevision), "")
	pay := report.named(t, "pay")
	pay.of(t, Recorded).exactly(t, 35./3600)
	pay.of(t, Calculated).exactly(t, 3200./70/3600)
	if pay.Verdict != Met || len(pay.Disagree) != 1 || math.Abs(pay.Disagree[0].Difference*3600-(35-3200./70)) > 1e-9 {
		t.Errorf("%s, apart by %+v; want met, apart by -10.71 EUR/h", pay.Verdict, pay.Disagree)
	}
	kept := report.named(t, "kept")
	if kept.of(t, Recorded).exactly(t, 2800); kept.Verdict != NotMet || len(kept.Evidence) != 1 {
		t.Errorf("2800 EUR left of 2900: %s on %d kinds of evidence", kept.Verdict, len(kept.Evidence))
	}
}

// What the records agree with is no disagreement, and two revisions are not compared with one list.
func TestHourPaidByListAgrees(t *testing.T) {
	alike := maps.Clone(oneRevision)
	alike["production.toml"] = "[bom.parts]\nprices = \"1:12 EUR\"\n[step.make]\nminutes = \"33..39 min\"\n"
	pay := verdicts(t, written(t, alike), "").named(t, "pay")
	if pay.of(t, Calculated); len(pay.Disagree) > 0 {
		t.Error(pay.Disagree)
	}
	two := maps.Clone(oneRevision)
	two["variants/b.toml"] = "made_from = 2021-06-01\nrevision = \"B\"\n[set]\n\"production.step.make.minutes\" = \"20 min\"\n"
	pay = verdicts(t, written(t, two), "").named(t, "pay")
	if len(pay.Evidence) != 1 || len(pay.Disagree) > 0 || !strings.Contains(strings.Join(pay.Says, " "), "not compared") {
		t.Errorf("two revisions: %+v, %v, %v", pay.Evidence, pay.Disagree, pay.Says)
	}
}

// Without the hours of design an hour paid at most what is known of it: that supports nothing.
func TestHourPaidWithoutDesign(t *testing.T) {
	files := maps.Clone(oneRevision)
	files["records/hours.csv"] = "date,until,kind,time\n2021-01-01,2021-12-31,Assembly,60 h\n"
	pay := verdicts(t, written(t, files), "").named(t, "pay")
	if e := pay.of(t, Recorded); !e.OpenLow || pay.Verdict != Unproven || len(pay.Lacks) != 1 {
		t.Errorf("%s, %+v, %v; want unproven, open below", pay.Verdict, e, pay.Lacks)
	}
}

// What eight answers from memory give: 250..350 sold at 34 EUR in three years, parts 9..11 EUR, 30..45 min, 800 EUR spent besides. At the
// best values (300·24 - 800)/187.5 h = 34.13 EUR/h; the ends of all ranges lie at 26.40 and 45.43 EUR/h. By hand.
func TestHourPaidFromMemory(t *testing.T) {
	folder := written(t, map[string]string{
		"product.toml":         "name = \"invented\"\ncurrency = \"EUR\"\n",
		"production.toml":      "[bom.parts]\neach = 1\nprices = \"1:9..11 EUR\"\n[step.make]\nminutes = \"30..45 min\"\n[work]\nprice = \"34 EUR\"\n",
		"records/sold.csv":     "date,until,count,price,basis\n2021-01-01,2023-12-31,250..350,34 EUR,remembered\n",
		"records/returned.csv": "date,until,count,basis\n2021-01-01,2023-12-31,5..10,remembered\n",
		"records/spent.csv":    "date,until,kind,amount,basis\n2021-01-01,2023-12-31,other,800 EUR,remembered\n",
	})
	p, err := folder.Resolve("")
	if err != nil {
		t.Fatal(err)
	}
	answer, err := Study(context.Background(), p, "accounts", Options{Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range answer.Figures {
		if f.Name == "hour-paid" {
			if best, low, high := f.Best*3600, f.Low*3600, f.High*3600; math.Abs(best-6400/187.5) > 1e-9 || low < 26.4 || low > 30 || high > 45.43 || high < 40 {
				t.Errorf("%.2f, %.2f to %.2f EUR/h", best, low, high)
			}
			return
		}
	}
	t.Error("no hour's pay in", answer.Figures)
}

// A promise lacks what its own figure lacks, and no more.
func TestAccountsLackOfTheFigure(t *testing.T) {
	files := maps.Clone(oneRevision)
	files["product.toml"] += "accepted_for = \"2 years\"\n"
	files["promises.toml"] = "[promise.aside]\nlabel = \"x\"\nstudy = \"accounts\"\nquantity = \"set-aside\"\nmax = \"100 EUR\"\n"
	files["records/returned.csv"] = "date,count\n2021-06-01,2\n"
	aside := verdicts(t, written(t, files), "").named(t, "aside")
	if len(aside.Lacks) != 1 || aside.Lacks[0].Key != "cost" || aside.Verdict != NoEvidence {
		t.Errorf("%s, %v; want no evidence for want of cost", aside.Verdict, aside.Lacks)
	}
}

func TestAccountsRefuse(t *testing.T) {
	for text, want := range map[string]string{
		`quantity = "profit"` + "\nmin = \"1 EUR\"":                      "is no quantity of the accounts",
		`quantity = "net"` + "\nmin = \"1 h\"":                           "want such as",
		`quantity = "net"` + "\nmin = \"1 USD\"":                         "is not in the currency of the accounts",
		`quantity = "hour-paid"` + "\nends = \"unharmed or recovers\"\n": "have no ends",
	} {
		files := maps.Clone(oneRevision)
		files["production.toml"] += "[rates]\nUSD = \"0.9 EUR\"\n"
		files["promises.toml"] = "[promise.pay]\nlabel = \"x\"\nstudy = \"accounts\"\n" + text + "\n"
		err := verdicts(t, written(t, files), "").Failed()
		if err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), "promises.toml:") {
			t.Errorf("%s: %v; want %q with its place", text, err, want)
		}
	}
}
