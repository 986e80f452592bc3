package starter

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"hindwatt/internal/quantity"
)

// An AnswerError says which answer can't be used and why.
type AnswerError struct {
	Flag, Answer string
	Problem      string // what is wrong; what is accepted
}

// Error names the option, the answer and the problem.
func (e *AnswerError) Error() string {
	answer := e.Answer
	if runes := []rune(answer); len(runes) > longest {
		answer = string(runes[:longest]) + "…"
	}
	return fmt.Sprintf("--%s %q: %s", e.Flag, answer, e.Problem)
}

// plainly drops the option and the answer from an error, for whoever just typed it.
func plainly(err error) error {
	var e *AnswerError
	if errors.As(err, &e) {
		return errors.New(e.Problem)
	}
	return err
}

// reader reads answers and collects what is wrong with them.
type reader struct {
	problems []error
}

func (r *reader) refuse(flag, answer, problem string) {
	r.problems = append(r.problems, &AnswerError{flag, answer, problem})
}

// read returns what the answers mean; the error joins an *AnswerError for each bad one.
func read(a Answers, today time.Time) (given, error) {
	var r reader
	g := given{
		price:    r.figure("price", a.Price, money),
		parts:    r.figure("parts", a.PartsCost, money),
		minutes:  r.figure("minutes", a.Minutes, minutes),
		sold:     r.figure("sold", a.Sold, units),
		cameBack: r.figure("came-back", a.CameBack, units),
		spent:    r.figure("spent", a.SpentOtherwise, money),
		voltage:  r.figure("voltage", a.Voltage, nominal),
		current:  r.figure("current", a.Current, amperes),
		circuit:  r.circuit(a.Circuit),
		name:     r.name(a.Name),
	}
	r.nominal(&g, a)
	r.period(&g, a, today)
	r.oneCurrency(&g, a)
	if g.sold != nil && g.cameBack != nil && g.cameBack.Low > g.sold.High {
		r.refuse("came-back", a.CameBack, "more than were sold; want at most "+strconv.FormatFloat(g.sold.High, 'f', 0, 64))
	}
	return g, errors.Join(r.problems...)
}

// kind is what an answer has to be.
type kind struct {
	dim       quantity.Dimension
	bare      string  // unit of a number without one; "" if it needs one
	low, high float64 // accepted, SI
	whole     bool
	want      string
}

var (
	money   = kind{dim: quantity.Money, high: 1e12, want: "a sum of money such as 34 EUR or 30..40 EUR"}
	minutes = kind{dim: quantity.Time, bare: "min", low: 1, high: 1000 * 3600, want: "a time such as 35 min or 30..45 min"}
	units   = kind{dim: quantity.Ratio, high: 1e9, whole: true, want: "a number of units such as 300, about 300 or 250..350"}
	nominal = kind{dim: quantity.Voltage, low: 1, high: 1000, want: "12 V or 24 V"}
	amperes = kind{dim: quantity.Current, low: 0.1, high: 60, want: "a current from 0.1 A to 60 A, such as 5 A"}
)

// longest is the longest answer, in characters.
const longest = 100

// figure reads a figure or a range; "about" is taken off, as all answers count as remembered.
func (r *reader) figure(flag, answer string, k kind) *quantity.Quantity {
	text := trimAbout(answer)
	if strings.TrimSpace(answer) == "" {
		return nil
	}
	q, problem := k.read(text)
	if problem != "" {
		r.refuse(flag, answer, problem)
		return nil
	}
	return &q
}

func trimAbout(answer string) string {
	text := strings.TrimSpace(answer)
	for _, word := range []string{"about ", "roughly ", "ca. ", "ca ", "~"} {
		if len(text) >= len(word) && strings.EqualFold(text[:len(word)], word) {
			return strings.TrimSpace(text[len(word):])
		}
	}
	return text
}

func (k kind) read(text string) (q quantity.Quantity, problem string) {
	want := "; want " + k.want
	if utf8.RuneCountInString(text) > longest {
		return q, "too long" + want
	}
	if k.bare != "" {
		if n, err := quantity.ParseAs(text, quantity.Ratio); err == nil && n.Unit == "" {
			text += " " + k.bare
		}
	}
	q, err := quantity.ParseAs(text, k.dim)
	var fault *quantity.Error
	switch {
	case errors.As(err, &fault):
		return q, fault.Problem + want
	case err != nil:
		return q, err.Error() + want
	case q.Spread == quantity.Normal || q.Drift != 0:
		return q, "more than a figure or a range" + want
	case k.whole && (q.Unit != "" || q.Low != math.Trunc(q.Low) || q.High != math.Trunc(q.High)):
		return q, "not a whole number" + want
	case q.Low < k.low:
		return q, "too small" + want
	case q.High > k.high:
		return q, "too large" + want
	}
	return ends(q), ""
}

// ends makes limits a range, which is all that a remembered figure claims.
func ends(q quantity.Quantity) quantity.Quantity {
	if q.Low == q.High {
		return quantity.Quantity{Value: q.Value, Low: q.Low, High: q.High, Dim: q.Dim, Unit: q.Unit, Currency: q.Currency}
	}
	return quantity.Quantity{Value: q.Low/2 + q.High/2, Low: q.Low, High: q.High,
		Dim: q.Dim, Unit: q.Unit, Currency: q.Currency, Spread: quantity.Range}
}

// count writes a number of units: "300" or "250..350"; "" for none.
func count(q *quantity.Quantity) string {
	if q == nil {
		return ""
	}
	low := strconv.FormatFloat(q.Low, 'f', 0, 64)
	if q.Low == q.High {
		return low
	}
	return low + ".." + strconv.FormatFloat(q.High, 'f', 0, 64)
}

// voltages are those that the typical values are known for, V.
var voltages = []float64{12, 24}

// nominal picks the voltage that the folder is written for: the lower one of a range that holds both.
func (r *reader) nominal(g *given, a Answers) {
	if g.voltage == nil {
		return
	}
	for _, v := range voltages {
		if g.voltage.Low <= v && v <= g.voltage.High {
			g.volts = v
			return
		}
	}
	r.refuse("voltage", a.Voltage, "no typical values are known for it; want 12 V or 24 V: begin with the nearer and change the files")
}

func (r *reader) circuit(answer string) string {
	text := strings.ToLower(strings.TrimSpace(answer))
	if text == "" {
		return ""
	}
	names := make([]string, 0, len(Circuits()))
	for i, c := range Circuits() {
		if text == c.Name || text == strconv.Itoa(i+1) {
			return c.Name
		}
		names = append(names, c.Name)
	}
	r.refuse("circuit", answer, "no such circuit; want one of "+strings.Join(names, ", "))
	return ""
}

// name accepts what can stand in a heading without being taken for anything else.
func (r *reader) name(answer string) string {
	text := strings.TrimSpace(answer)
	for i, c := range text {
		alone := unicode.IsLetter(c) || unicode.IsDigit(c)
		if !alone && (i == 0 || !unicode.IsMark(c) && !strings.ContainsRune(" -.,+/()&_'", c)) {
			r.refuse(nameFlag, answer, "not a name; want letters, digits, spaces and - . , + / ( ), a letter or digit first")
			return ""
		}
	}
	if utf8.RuneCountInString(text) > longest {
		r.refuse(nameFlag, answer, "too long; want at most 100 characters")
		return ""
	}
	return text
}

// oneCurrency sees to it that all money is in the same currency.
func (r *reader) oneCurrency(g *given, a Answers) {
	for _, m := range []struct {
		flag, answer string
		q            *quantity.Quantity
	}{{"price", a.Price, g.price}, {"parts", a.PartsCost, g.parts}, {"spent", a.SpentOtherwise, g.spent}} {
		switch {
		case m.q == nil:
		case g.currency == "":
			g.currency = m.q.Currency
		case m.q.Currency != g.currency:
			r.refuse(m.flag, m.answer, "another currency; want all money in "+g.currency+", one currency to a folder")
		}
	}
}
