package starter

import (
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
)

func TestAsk(t *testing.T) {
	in := strings.Join([]string{"34", "34 EUR", "9..11 USD", "9..11 EUR", "", "2021..2023", "about 300", "5..10", "", "12 V", "5 A", "2"}, "\n")
	var out strings.Builder
	got, err := Ask(strings.NewReader(in), &out, Answers{})
	want := Answers{Price: "34 EUR", PartsCost: "9..11 EUR", SoldFrom: "2021..2023", Sold: "about 300", CameBack: "5..10",
		Voltage: "12 V", Current: "5 A", Circuit: "2"}
	if err != nil || got != want {
		t.Errorf("%+v, %v\nwant %+v", got, err, want)
	}
	const begins = `Eight questions. Answer with a figure, or with a range such as 30..40 EUR;
an empty line leaves a question for later.

1. What do you sell one for?
   (such as 34 EUR): `
	if !strings.HasPrefix(out.String(), begins) {
		t.Errorf("it begins\n%.300s\nwant\n%s", out.String(), begins)
	}
	for _, part := range []string{
		"   ! another currency; want all money in EUR, one currency to a folder\n",
		"want a sum of money such as 34 EUR or 30..40 EUR\n   (such as 34 EUR): ",
		"\n4. When did you sell it, and about how many?\n   from (such as 2021-05):    how many (such as about 300): ",
		"\n8. Which circuit comes nearest?\n   1 series-negative       switch in the negative leg, diode inside\n",
	} {
		if !strings.Contains(out.String(), part) {
			t.Errorf("nowhere %q in\n%s", part, out.String())
		}
	}
	if strings.ContainsAny(out.String(), "\x1b\r\b") {
		t.Error("control characters were written")
	}
}

// TestAskLeavesOutWhatIsKnown: what a flag gave is not asked, and with all given nothing is said.
func TestAskLeavesOutWhatIsKnown(t *testing.T) {
	known := Answers{Price: "34 EUR", PartsCost: "9 EUR", Minutes: "35", SoldFrom: "2021", SoldUntil: "2022", CameBack: "1",
		SpentOtherwise: "0 EUR", Voltage: "24 V", Current: "5 A", Circuit: "shunt"}
	var out strings.Builder
	got, err := Ask(strings.NewReader("30\n"), &out, known)
	known.Sold = "30"
	if err != nil || got != known || strings.Count(out.String(), "such as") != 2 {
		t.Errorf("%+v, %v\n%s", got, err, out.String())
	}
	out.Reset()
	if got, err := Ask(iotest.ErrReader(errors.New("must not be read")), &out, known); err != nil || got != known || out.Len() > 0 {
		t.Errorf("%+v, %v, %q", got, err, out.String())
	}
	if _, err := Ask(strings.NewReader(""), &out, Answers{Price: "x"}); err == nil || !strings.HasPrefix(err.Error(), `--price "x": `) {
		t.Errorf("a bad flag: %v", err)
	}
}

func TestAskEnds(t *testing.T) {
	for in, want := range map[string]Answers{
		"":                      {},
		"34 EUR":                {Price: "34 EUR"}, // the last line may lack its end
		"34 EUR\n":              {Price: "34 EUR"},
		"nonsense":              {},
		"nonsense\n\n9 EUR\r\n": {PartsCost: "9 EUR"},
		strings.Repeat("9", 1<<16) + "\n\n9 EUR\n": {PartsCost: "9 EUR"}, // a line longer than the buffer is one answer
		"\xff\xfe\n34 EUR\n":                       {Price: "34 EUR"},
	} {
		var out strings.Builder
		if got, err := Ask(strings.NewReader(in), &out, Answers{}); err != nil || got != want {
			t.Errorf("%.20q: %+v, %v, want %+v", in, got, err, want)
		}
	}
}

func TestAskFails(t *testing.T) {
	broken := errors.New("broken")
	in := io.MultiReader(strings.NewReader("34 EUR\n"), iotest.ErrReader(broken))
	if got, err := Ask(in, io.Discard, Answers{}); !errors.Is(err, broken) || got.Price != "34 EUR" {
		t.Errorf("%+v, %v", got, err)
	}
	if _, err := Ask(strings.NewReader("\n"), failing{broken}, Answers{}); !errors.Is(err, broken) {
		t.Errorf("writing: %v", err)
	}
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }
