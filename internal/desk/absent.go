package desk

import (
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"reflect"
	"regexp"

	"hindwatt/demo"
	"hindwatt/internal/starter"
)

// asked is one figure of a question with what was answered.
type asked struct {
	starter.Part
	Answer, Wrong string
	Circuits      []starter.Circuit // of the question that has them
}

// group is one of the eight questions.
type group struct {
	Text  string
	Parts []asked
}

// beginning is the page of a folder that holds no product yet.
type beginning struct {
	Frame        frame
	Inside       bool // the folder holds other things, so that the product gets one of its own
	Folder, Name string
	Wrong        string // about the folder or the whole
	Questions    []group
}

// exampleFolder is where the example goes in a folder that holds other things.
const exampleFolder = "osier-24"

// absent offers the eight questions, and the example.
func (d *Desk) absent(w http.ResponseWriter, f frame) {
	d.begin(w, http.StatusOK, f, nil, nil, nil)
}

// begin shows the questions with what was answered so far and what is wrong with it.
func (d *Desk) begin(w http.ResponseWriter, status int, f frame, answered func(string) string, wrong map[string]string, whole error) {
	if answered == nil {
		answered = func(string) string { return "" }
	}
	f.Title, f.Nav = "A product to begin with", nil
	b := beginning{Frame: f, Inside: !empty(d.sight.folder()), Folder: answered("folder"), Name: answered("Name")}
	if whole != nil {
		b.Wrong = whole.Error()
	}
	for _, q := range starter.Questions() {
		g := group{Text: q.Text}
		for _, p := range q.Parts {
			a := asked{Part: p, Answer: answered(p.Key), Wrong: wrong[p.Flag]}
			if p.Key == "Circuit" {
				a.Circuits = starter.Circuits()
			}
			g.Parts = append(g.Parts, a)
		}
		b.Questions = append(b.Questions, g)
	}
	d.show(w, status, "begin", b)
}

// empty reports whether a folder is missing or holds nothing.
func empty(dir string) bool {
	entries, err := os.ReadDir(dir)
	return errors.Is(err, os.ErrNotExist) || err == nil && len(entries) == 0
}

// folderName is one that may be made beside what is there.
var folderName = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9 _-]{0,60}$`)

// start writes a product folder from the answers.
func (d *Desk) start(w http.ResponseWriter, r *http.Request) {
	l := d.sight.look("")
	f := d.frame(l, view{})
	if err := r.ParseForm(); err != nil || !l.absent {
		d.render(w, r, view{}, refused(errors.Join(err, errors.New("there is a product in the folder"))))
		return
	}
	var answers starter.Answers
	fields := reflect.ValueOf(&answers).Elem()
	for i := range fields.NumField() {
		fields.Field(i).SetString(r.PostForm.Get(fields.Type().Field(i).Name))
	}
	dir := l.dir
	if !empty(dir) {
		name := r.PostForm.Get("folder")
		if !folderName.MatchString(name) {
			d.begin(w, http.StatusUnprocessableEntity, f, r.PostForm.Get, nil, fmt.Errorf("folder %q: want a name of letters, digits, spaces, - and _", name))
			return
		}
		dir = filepath.Join(dir, name)
	}
	if _, err := starter.Write(dir, answers); err != nil {
		wrong, rest := byFlag(err)
		d.begin(w, http.StatusUnprocessableEntity, f, r.PostForm.Get, wrong, rest)
		return
	}
	d.sight.move(dir)
	http.Redirect(w, r, "/", http.StatusSeeOther)
}

// byFlag sorts what is wrong by the answer that it is about.
func byFlag(err error) (wrong map[string]string, rest error) {
	wrong = map[string]string{}
	all := []error{err}
	if several, ok := err.(interface{ Unwrap() []error }); ok {
		all = several.Unwrap()
	}
	for _, one := range all {
		var answer *starter.AnswerError
		if errors.As(one, &answer) && answer.Flag != "name" {
			wrong[answer.Flag] = answer.Problem
		} else {
			rest = errors.Join(rest, one)
		}
	}
	return wrong, rest
}

// example writes the example product and shows it.
func (d *Desk) example(w http.ResponseWriter, r *http.Request) {
	l := d.sight.look("")
	if !l.absent {
		http.Redirect(w, r, "/", http.StatusSeeOther)
		return
	}
	dir := l.dir
	if !empty(dir) {
		dir = filepath.Join(dir, exampleFolder)
	}
	if err := demo.Write(dir); err != nil {
		d.begin(w, http.StatusConflict, d.frame(l, view{}), nil, nil, err)
		return
	}
	d.sight.move(dir)
	http.Redirect(w, r, "/", http.StatusSeeOther)
}
