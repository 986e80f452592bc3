package calc

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/fstest"
)

// runFile makes a calculation with a file of this text.
func runFile(name, text string, args ...string) (Output, error) {
	files := fstest.MapFS{"µ.csv": {Data: []byte(text)}}
	return Run(context.Background(), name, append([]string{"file=µ.csv"}, args...), Options{Files: files})
}

func TestFilesRefused(t *testing.T) {
	for _, c := range []struct{ name, text, say string }{
		{"weibull", "", `µ.csv:1:1: empty; want columns time,failed[,entry,count] or from,to[,entry,count], with commas between`},
		{"weibull", "time;failed\n3;1\n", `µ.csv:1:1: "time;failed": lacks a column; want columns time,failed[,entry,count] or from,to[,entry,count], with commas between`},
		{"logrank", "from,to\n3,4\n", `µ.csv:1:1: "from,to": lacks a column; want columns time,failed,group[,entry,count], with commas between`},
		{"weibull", "time,failed,Time\n3,1,3\n", `µ.csv:1:13: "time": a second column of this name; want each once`},
		{"weibull", "time,failed\n", `µ.csv:2:1: no rows below the names; want a row for each unit`},
		{"weibull", "time,failed\n3,1\n\n-4,2\n5\n", `µ.csv:4:1: time: "-4": not a possible value; want a number from 0 up, without unit
µ.csv:4:4: failed: "2": not a possible value; want 1 for failed, 0 for still good
µ.csv:5:1: not as many cells as the first line has names; want one for each, empty ones too`},
		{"weibull", "note,time,failed\n\"µµ\", 3 h,1\n,inf,1\n,0x10,1\n,nan,1\n,1_0,0\n,,0\n", `µ.csv:2:7: time: "3 h": not a possible value; want a number from 0 up, without unit
µ.csv:3:2: time: "inf": not a possible value; want a number from 0 up, without unit
µ.csv:4:2: time: "0x10": not a possible value; want a number from 0 up, without unit
µ.csv:5:2: time: "nan": not a possible value; want a number from 0 up, without unit
µ.csv:6:2: time: "1_0": not a possible value; want a number from 0 up, without unit
µ.csv:7:2: time: empty; want a number from 0 up, without unit`},
		{"weibull", "time,failed\n1e999,1\n", `µ.csv:2:1: time: "1e999": not a possible value; want a number from 0 up, without unit`},
		{"weibull", "time,failed\n0,1\n", `µ.csv:2:1: time: "0": failed at age 0, where a Weibull distribution has no density; want an age above 0, or columns from,to with the ages between which it failed`},
		{"weibull", "from,to\n5,4\n0,0\n", `µ.csv:2:3: to: "4": below from; want the age at which it was found failed, or inf
µ.csv:3:1: from: "0": failed at age 0, where a Weibull distribution has no density; want an age above 0, or columns from,to with the ages between which it failed`},
		{"weibull", "time,failed,entry,count\n5,1,5,1\n5,1,6,1\n5,0,0,1.5\n5,0,0,0\n", `µ.csv:2:5: entry: "5": not below time; want the age from which the unit was watched
µ.csv:3:5: entry: "6": not below time; want the age from which the unit was watched
µ.csv:4:7: count: "1.5": not a possible value; want a whole number from 1 up
µ.csv:5:7: count: "0": not a possible value; want a whole number from 1 up`},
		{"weibull", "from,to,entry\n5,7,6\n", `µ.csv:2:5: entry: "6": above from; want the age from which the unit was watched`},
		{"weibull", "time,failed\n\"3,1\n", `µ.csv:2:6: extraneous or missing " in quoted-field; want CSV: commas between cells, quotes doubled inside quotes`},
		{"logrank", "time,failed,group\n3,1,a\n4,0,a\n", `file: "µ.csv": only one group, a; want two or more`},
		{"logrank", "time,failed,group\n3,1,a\n4,0, \n", `µ.csv:3:6: group: empty; want a name for each group`},
	} {
		if _, err := runFile(c.name, c.text); err == nil || err.Error() != c.say {
			t.Errorf("%s %q:\n got %v\nwant %s", c.name, c.text, err, c.say)
		}
	}
	if _, err := runFile("weibull", "time,failed\n"+strings.Repeat("x,1\n", 1000)); err == nil || strings.Count(err.Error(), "\n") != maxFaults-1 {
		t.Errorf("a thousand faults give %v", err)
	}
	var many strings.Builder
	for i := range 101 {
		fmt.Fprintf(&many, "%d,1,g%d\n", i, i)
	}
	if _, err := runFile("logrank", "time,failed,group\n"+many.String()); err == nil || err.Error() != `µ.csv:102:7: group: "g100": more than 100 groups; want fewer` {
		t.Errorf("101 groups: %v", err)
	}
	if _, err := Run(context.Background(), "weibull", []string{"file=testdata/none.csv"}, Options{}); err == nil ||
		err.Error() != `file: "testdata/none.csv": cannot be read: no such file or directory; want a CSV file with columns time,failed or from,to` {
		t.Errorf("no file: %v", err)
	}
	large := fstest.MapFS{"x": {Data: bytes.Repeat([]byte("3,1\n"), maxFile/4+1)}}
	if _, err := Run(context.Background(), "survival", []string{"file=x", "at=1"}, Options{Files: large}); err == nil || !strings.Contains(err.Error(), "larger than 32 MB") {
		t.Errorf("a large file: %v", err)
	}
}

// Order of columns, a byte order mark, line ends, spaces, blank lines, other columns and counts change nothing.
func TestFilesAccepted(t *testing.T) {
	plain, err := runFile("weibull", "time,failed\n3,1\n4,1\n4,1\n6,0\n")
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"\ufeffFailed , TIME\r\n1, 3\r\n1,4\r\n\r\n1,+4.0\r\n0,6e0", "count,time,note,failed,entry\n1,3,\"a, \"\"b\"\"\",1,0\n2,4,,1,0\n1,6,,0,0\n",
		"from,to\n3,3\n4,4\n4,4\n6,\n", "from,to,count\n3,3,1\n4,4,2\n6,Inf,1\n"} {
		o, err := runFile("weibull", text)
		if err != nil {
			t.Errorf("%q: %v", text, err)
			continue
		}
		for _, key := range []string{"shape", "scale", "loglik", "shape_low", "scale_high"} {
			if got, want := value(t, o, key), value(t, plain, key); math.Abs(got-want) > 1e-9*math.Abs(want) {
				t.Errorf("%q: %s = %v; want %v", text, key, got, want)
			}
		}
		if noted := strings.Contains(text, "note"); noted != (len(o.Warnings) == 2 && o.Warnings[0] == `µ.csv: not used: column "note"`) {
			t.Errorf("%q: warnings %q", text, o.Warnings)
		}
	}
}

// What data do not tell has a reason in its place, and the rest stands.
func TestReliabilityWithoutAnAnswer(t *testing.T) {
	none := func(o Output, err error, keys ...string) {
		t.Helper()
		if err != nil {
			t.Error(err)
			return
		}
		for _, f := range o.Results {
			missing := false
			for _, k := range keys {
				missing = missing || k == f.Key || k == "all"
			}
			if (f.None != "") != missing {
				t.Errorf("%s %s: %+v", o.Calc, f.Key, f)
			}
		}
	}
	o, err := runFile("weibull", "time,failed\n3,0\n4,0\n")
	none(o, err, "all")
	o, err = runFile("weibull", "time,failed\n3,1\n3,1\n")
	none(o, err, "all")
	o, err = runFile("weibull", "time,failed,entry\n40,1,20\n60,1,35\n70,1,50\n80,0,30\n80,0,30\n")
	none(o, err, "shape_low", "scale_low")
	o, err = runFile("survival", "time,failed\n3,1\n4,0\n", "at=4.1")
	none(o, err, "all")
	o, err = runFile("survival", "time,failed\n3,1\n4,0\n", "at=2")
	none(o, err, "low", "high")
	o, err = runFile("survival", "time,failed\n3,1\n3,1\n", "at=5")
	none(o, err, "se", "low", "high")
	o, err = runFile("logrank", "time,failed,group\n3,0,a\n4,0,b\n")
	none(o, err, "all")
	o, err = Run(context.Background(), "mtbf", []string{"hours=100 h", "failures=0"}, Options{})
	none(o, err, "mtbf", "high")
	o, err = runFile("logrank", "time,failed,group,entry\n3,1,a,0\n4,1,b,0\n9,1,c,8\n")
	none(o, err)
	if len(o.Warnings) != 1 || !strings.HasPrefix(o.Warnings[0], "only 2 of 3 groups") {
		t.Errorf("warnings %q", o.Warnings)
	}
}

func TestSurvivalWarnsOfTooFewAtFirst(t *testing.T) {
	o, err := runFile("survival", "time,failed,entry\n5,1,0\n9,1,7\n20,0,8\n", "at=10")
	if err != nil {
		t.Fatal(err)
	}
	if len(o.Warnings) != 1 || !strings.HasPrefix(o.Warnings[0], "all units watched at the age of 5 failed then") || value(t, o, "survival") != 0 {
		t.Errorf("%+v", o)
	}
}

// FuzzFile makes sure that no file makes a panic, a NaN or an infinity.
func FuzzFile(f *testing.F) {
	f.Add("weibull", "time,failed,entry,count\n3,1,0,2\n4,0,1e-300,1\n")
	f.Add("weibull", "from,to\n0,1e308\n3,\n")
	f.Add("survival", "time,failed\n\"3\",1\r\n3.5,0\n")
	f.Add("logrank", "group,time,failed\nµ,3,1\nb,4,1\n")
	f.Fuzz(func(t *testing.T, name, text string) {
		args := map[string][]string{"weibull": nil, "logrank": nil, "survival": {"at=3.2"}}
		more, ok := args[name]
		if !ok {
			return
		}
		o, err := runFile(name, text, more...)
		if err != nil {
			return
		}
		var b strings.Builder
		if err := o.Text(&b, 80); err != nil || strings.Contains(string(o.JSON()), "NaN") || strings.Contains(string(o.JSON()), "Inf") {
			t.Fatalf("%s %q: %v in %s", name, text, err, o.JSON())
		}
	})
}
