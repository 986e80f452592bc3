package desk

import (
	"cmp"
	"context"
	"errors"
	"net/http"

	"hindwatt/internal/hindsight/compare"
	"hindwatt/internal/hindsight/life"
	"hindwatt/internal/page"
	"hindwatt/internal/promise"
)

// question is what the desk can be asked about a product.
type question struct {
	name, short, text string
	promises          bool // it judges some, which stand above its answer
	answer            func(ctx context.Context, l *look) ([]page.Page, error)
}

// questions are in the order in which the pages are listed: those of the studies first, then those that lay the product beside what
// it could have been.
var questions = ofStudies([]question{
	{name: "setpoint", short: "Right voltage?"},
	{name: "rating", short: "How much current?"},
	{name: "fault", short: "Wired wrongly?"},
	{name: "charge", short: "A year?"},
	{name: "bench", short: "On the bench"},
	{name: "production", short: "Cost of one?"},
	{name: "accounts", short: "Did it pay?"},
	{name: "returns", short: "Comes back?"},
	{name: "compare", short: "Better?", text: "What would have been better?", answer: orNothing(compared)},
	{name: "hindsight", short: "In hindsight?", text: "What would have paid?", answer: orNothing(lookedBack)},
	{name: "next", short: "Change next?", text: "What to change next?", answer: orNothing(nextRevision)},
})

// ofStudies fills in what the studies say of themselves.
func ofStudies(all []question) []question {
	for _, s := range promise.Studies() {
		for i := range all {
			if q := &all[i]; q.name == s[0] {
				q.text, q.promises = s[1], true
				q.answer = func(ctx context.Context, l *look) ([]page.Page, error) {
					said, err := promise.Study(ctx, l.laid, q.name, l.options())
					if err != nil {
						return nil, err
					}
					return said.Pages, nil
				}
			}
		}
	}
	return all
}

// questionOf finds a question by its name; nil where there is none.
func questionOf(name string) *question {
	for i := range questions {
		if questions[i].name == name {
			return &questions[i]
		}
	}
	return nil
}

// orNothing says how to come by something to lay beside the product where there is nothing.
func orNothing(answer func(ctx context.Context, l *look) (page.Page, error)) func(ctx context.Context, l *look) ([]page.Page, error) {
	return func(ctx context.Context, l *look) ([]page.Page, error) {
		if len(l.folder.Variants)+len(l.folder.Changes) == 0 {
			return nil, errNothingBeside
		}
		select { // one after another: they lay the same choices beside the product, and what one has judged the next finds kept
		case l.beside <- struct{}{}:
			defer func() { <-l.beside }()
		case <-ctx.Done():
			return nil, ctx.Err()
		}
		p, err := answer(ctx, l)
		if err != nil {
			return nil, err
		}
		return []page.Page{p}, nil
	}
}

var errNothingBeside = errors.New("nothing to lay beside the product")

// compared puts the product beside all its variants and revisions, whichever is looked at.
func compared(ctx context.Context, l *look) (page.Page, error) {
	o := l.options()
	r, err := compare.Of(ctx, compare.Asked{Folder: l.folder, Seed: o.Seed, Kept: o.Kept})
	if err != nil {
		return page.Page{}, err
	}
	return r.Page(), nil
}

func (l *look) back(ctx context.Context) (*life.Result, error) {
	o := l.options()
	return life.Of(ctx, life.Asked{Folder: l.folder, Seed: o.Seed, Kept: o.Kept})
}

func lookedBack(ctx context.Context, l *look) (page.Page, error) {
	r, err := l.back(ctx)
	if err != nil {
		return page.Page{}, err
	}
	return r.Page(nil), nil
}

func nextRevision(ctx context.Context, l *look) (page.Page, error) {
	r, err := l.back(ctx)
	if err != nil {
		return page.Page{}, err
	}
	next, err := r.Revision(ctx)
	if err != nil {
		return page.Page{}, err
	}
	return r.NextPage(next), nil
}

// question shows the page of one question.
func (d *Desk) question(w http.ResponseWriter, r *http.Request, status int, f frame, l *look) {
	q := questionOf(f.Page)
	data := struct {
		Frame    frame
		Question string
		Waiting  string // how far it is, while the page itself is not there
		Empty    bool   // there is nothing to lay beside the product
		Failed   string
		Strips   []shownPromise
		Pages    []shownPage
	}{Question: q.text}
	f.Title = q.text + " " + f.Product
	strips := func() []shownPromise {
		if !q.promises {
			return nil
		}
		return l.strips(q.name)
	}
	if a := l.answer(f.Page); live(r) && a.ready() || !live(r) && wait(r, a.done) {
		switch {
		case a.err == errNothingBeside:
			data.Empty = true
		case a.err != nil:
			data.Failed = a.err.Error()
		}
		for _, p := range a.pages {
			data.Pages = append(data.Pages, l.withInputs(p, f.Problem))
		}
		if len(data.Pages) > 0 {
			data.Pages[0].Strips = strips()
		}
	} else {
		l.mutex.Lock()
		data.Waiting = cmp.Or(a.far, "This is being computed")
		l.mutex.Unlock()
		data.Strips, f.Again = strips(), "2"
	}
	data.Frame = f
	d.show(w, status, "question", data)
}
