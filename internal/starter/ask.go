package starter

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strings"
)

// Ask asks for what known leaves empty, one line an answer, and returns all answers.
//
// An answer that can't be used is explained and asked for again; an empty line leaves it empty,
// and the end of the input leaves the rest empty. An answer in known that can't be used is an
// error, as there is nobody to ask again. Other errors are those of in and out.
func Ask(in io.Reader, out io.Writer, known Answers) (Answers, error) {
	if _, err := read(known, today()); err != nil {
		return known, err
	}
	c := conversation{in: bufio.NewReaderSize(in, 4096), out: out, answers: known}
	for i, q := range Questions() {
		if err := c.ask(i+1, q); errors.Is(err, io.EOF) {
			_, err = io.WriteString(out, "\n")
			return c.answers, err
		} else if err != nil {
			return c.answers, err
		}
	}
	return c.answers, nil
}

type conversation struct {
	in      *bufio.Reader
	out     io.Writer
	answers Answers
	begun   bool
}

const opening = "Eight questions. Answer with a figure, or with a range such as 30..40 EUR;\n" +
	"an empty line leaves a question for later.\n"

// ask puts one question, part by part; the error is io.EOF where the input ended.
func (c *conversation) ask(number int, q Question) error {
	asked := false
	for _, p := range q.Parts {
		if !c.open(p) {
			continue
		}
		if !c.begun {
			c.begun = true
			if _, err := io.WriteString(c.out, opening); err != nil {
				return err
			}
		}
		if !asked {
			asked = true
			if err := c.put(number, q); err != nil {
				return err
			}
		}
		if err := c.part(p); err != nil {
			return err
		}
	}
	return nil
}

// open tells whether a part still has to be asked: the end of the sales may have come with their beginning.
func (c *conversation) open(p Part) bool {
	whole := p.Key == "SoldUntil" && strings.Contains(c.answers.SoldFrom, "..")
	return *c.answers.field(p.Key) == "" && !whole
}

func (c *conversation) put(number int, q Question) error {
	if _, err := fmt.Fprintf(c.out, "\n%d. %s\n", number, q.Text); err != nil {
		return err
	}
	if q.Parts[0].Key != "Circuit" {
		return nil
	}
	for i, circuit := range Circuits() {
		if _, err := fmt.Fprintf(c.out, "   %d %-20s  %s\n", i+1, circuit.Name, circuit.Text); err != nil {
			return err
		}
	}
	return nil
}

// part asks for one figure until the answer is empty or can be used.
func (c *conversation) part(p Part) error {
	prompt := "   "
	if p.Text != "" {
		prompt += p.Text + " "
	}
	for {
		if _, err := fmt.Fprintf(c.out, "%s(such as %s): ", prompt, p.Example); err != nil {
			return err
		}
		line, err := c.line()
		if err != nil && (line == "" || !errors.Is(err, io.EOF)) {
			return err
		}
		answers := c.answers
		*answers.field(p.Key) = line
		_, wrong := read(answers, today())
		if wrong == nil {
			c.answers = answers
			return err
		}
		if _, err := fmt.Fprintf(c.out, "   ! %v\n", plainly(wrong)); err != nil {
			return err
		}
		if err != nil {
			return err
		}
	}
}

// line reads one line without its end and the space around it. One that is longer than the
// buffer comes cut, which is still longer than any answer that can be used.
func (c *conversation) line() (string, error) {
	text, err := c.in.ReadSlice('\n')
	line := strings.TrimSpace(strings.ToValidUTF8(string(text), "\uFFFD"))
	for errors.Is(err, bufio.ErrBufferFull) {
		_, err = c.in.ReadSlice('\n')
	}
	return line, err
}
