package promise

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"hindwatt/internal/bind"
	"hindwatt/internal/figure"
	"hindwatt/internal/figure/diagram"
	"hindwatt/internal/numeric"
	"hindwatt/internal/page"
	"hindwatt/internal/product"
	"hindwatt/internal/product/logfile"
	"hindwatt/internal/promise/kept"
	"hindwatt/internal/study/charge"
)

func init() {
	kept.Register(figure.Strip{}, figure.Distribution{}, figure.Budget{}, figure.Curve{}, figure.Bars{}, figure.Carpet{}, figure.Totals{},
		figure.Tradeoff{}, figure.Ends{}, figure.EndsTable{}, figure.Swings{}, figure.Strips{}, diagram.Circuit{})
}

// What is kept: a promise as a study judged it, the answer to a study's question, and what was noted on the way.
type (
	judgement struct {
		Judged Judged
		Notes  []page.Note
	}
	reply struct {
		Answer *Answer
		Notes  []page.Note
	}
)

// errUnkept marks what was computed and is not to be kept.
var errUnkept = errors.New("not to be kept")

// judgedBy lets a study judge a promise, or takes what it found before from all the same.
func (s *session) judgedBy(ctx context.Context, by *study, asked *product.Promise, j *Judged) error {
	store, rests := s.under(by, j.Name, asked)
	found, err := kept.Result(store, by.name, rests, func() (judgement, error) {
		own := s.apart()
		out := judgement{Judged: *j}
		err := by.judge(numeric.Doing(ctx, by.name+" study"), own, asked, &out.Judged)
		out.Notes = own.told.notes
		if err == nil && out.Judged.Failed != nil {
			err = errUnkept
		}
		return out, err
	})
	*j = found.Judged
	s.note(found.Notes...)
	if errors.Is(err, errUnkept) {
		return nil
	}
	return err
}

// answeredBy lets a study answer its question, or takes what it answered before.
func (s *session) answeredBy(ctx context.Context, by *study, judged []Judged) (*Answer, error) {
	store, rests := s.under(by, "", nil)
	found, err := kept.Result(store, by.name+" page", rests, func() (reply, error) {
		own := s.apart()
		answer, err := by.answer(numeric.Doing(ctx, by.name+" study"), own, judged)
		return reply{answer, own.told.notes}, err
	})
	s.note(found.Notes...)
	return found.Answer, err
}

// under returns the store, if the study says what it rests on, and all that its judgement of a promise rests on; that of its answer, with
// all promises on it, if none is named.
func (s *session) under(by *study, name string, asked *product.Promise) (*kept.Store, any) {
	store := s.options.Kept
	if store == nil || by.rests == nil {
		return nil, nil
	}
	p := s.product
	on := []any{s.options.Seed, s.options.Installation, s.options.Years, s.options.MeanYear, p.Name.Text, p.Variant, p.RevisionName(), name}
	var mine []*product.Promise
	if asked != nil {
		mine = append(mine, asked)
	} else {
		for other, asked := range p.Promises.All() {
			if asked.Study.Text == by.name {
				mine, on = append(mine, asked), append(on, other)
			}
		}
	}
	on = append(on, mine)
	if asked == nil && by.shows != nil {
		on = append(on, by.shows(s)...)
	}
	return store, append(on, by.rests(s, mine)...)
}

// installationsOf are those that promises name, after the one that was asked for.
func (s *session) installationsOf(mine []*product.Promise) []string {
	names := []string{s.options.Installation}
	for _, asked := range mine {
		if name := asked.Conditions.Installation.Text; !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return names
}

func setpointRests(s *session, mine []*product.Promise) (on []any) {
	for _, name := range s.installationsOf(mine) {
		on = append(on, s.setpointHash(name))
	}
	for _, asked := range s.product.Promises.All() { // what is asked under the same conditions is computed together
		if asked.Study.Text == "setpoint" {
			on = append(on, s.settingOf(&asked.Conditions).key(), asked.Quantity.Text)
		}
	}
	return append(on, s.benchHash())
}

func ratingRests(s *session, mine []*product.Promise) (on []any) {
	for _, name := range s.installationsOf(mine) {
		on = append(on, s.ratingHash(name))
	}
	for _, asked := range s.product.Promises.All() {
		if asked.Study.Text == "rating" {
			on = append(on, s.ratingSetting(&asked.Conditions).text(), asked.Quantity.Text)
		}
	}
	return append(on, s.benchHash())
}

func chargeRests(s *session, mine []*product.Promise) (on []any) {
	names := []string{s.chargeShown()}
	for _, asked := range mine {
		names = append(names, s.chargeIn(asked))
	}
	if len(mine) == 1 {
		names = names[1:]
	}
	for _, name := range names {
		in, err := s.chargeBound(name)
		if err != nil {
			on = append(on, err.Error())
		}
		on = append(on, name, in, s.chargeYears(name), s.setpointHash(name))
	}
	return append(on, s.product.Installations.Names())
}

func benchRests(s *session, _ []*product.Promise) []any {
	on := []any{s.setpointHash(s.options.Installation), s.ratingHash(s.options.Installation), s.chemistries(), s.benchHash()}
	if t := &s.product.Production.Test; t.Meter.Set() { // what a unit is accepted by rests on what is promised
		on = append(on, t, bind.Plain(s.product.RevisionName()))
		for _, asked := range s.product.Promises.All() {
			on = append(on, asked)
		}
	}
	for name, run := range s.product.Folder.Runs.All() { // a panel is held against its label
		if part := s.product.Parts.Get(run.Panel.Text); part != nil && part.Panel != nil {
			on = append(on, part.Panel)
		}
		on = append(on, bind.Sweeps(s.product, name))
	}
	return on
}

func productionRests(s *session, _ []*product.Promise) []any { return []any{s.productionJudged()} }

// productionShows is what the page compares besides.
func productionShows(s *session) []any {
	in := bind.Production(s.product)
	on := []any{in, bind.Rating(s.product, s.options.Installation)}
	for i := range in.Instead {
		if other, err := s.product.Folder.Resolve(in.Instead[i].Name); err == nil {
			on = append(on, bind.Rating(other, s.options.Installation))
		}
	}
	return on
}

func accountsRests(s *session, _ []*product.Promise) []any { return []any{bind.Accounts(s.product)} }

func returnsRests(s *session, _ []*product.Promise) []any {
	return []any{bind.Returns(s.product), s.product.Folder.Keeps("returned")}
}

// hashed is something that several promises rest on, by its hash.
type hashed struct {
	once sync.Once
	hash any
}

// hash stands for an input, which is bound and hashed once; an input without a hash stands for itself.
func (s *session) hash(name string, input func() any) any {
	h := once(s, s.hashes, name)
	h.once.Do(func() {
		in := input()
		if key := kept.Key(name, in); key != "" {
			h.hash = key
		} else {
			h.hash = in
		}
	})
	return h.hash
}

func (s *session) setpointHash(installation string) any {
	return s.hash("setpoint "+installation, func() any { return bind.Setpoint(s.product, installation) })
}

func (s *session) ratingHash(installation string) any {
	return s.hash("rating "+installation, func() any { return bind.Rating(s.product, installation) })
}

// benchHash stands for all that was read on the bench, of whatever revision, and for what it was read with.
func (s *session) benchHash() any {
	return s.hash("bench", func() any {
		p := s.product
		f := p.Folder
		on := []any{f.Revisions()}
		for _, r := range f.Records.Readings {
			on = append(on, bind.RevisionOf(f, r), r)
		}
		for name, meter := range p.Meters.All() {
			on = append(on, name, meter)
		}
		for name, run := range f.Runs.All() {
			on = append(on, name, run, fileHash(filepath.Join(f.Dir, filepath.FromSlash(run.LogFile(name)))))
		}
		return on
	})
}

// fileHash is the hash of a file's content, of nothing if it cannot be read.
func fileHash(path string) [sha256.Size]byte {
	h := sha256.New()
	if file, err := os.Open(path); err == nil {
		defer file.Close()
		if info, err := file.Stat(); err == nil && info.Size() > logfile.MaxBytes { // refused unread
			fmt.Fprint(h, info.Size())
			return [sha256.Size]byte(h.Sum(nil))
		}
		io.Copy(h, file)
	}
	return [sha256.Size]byte(h.Sum(nil))
}

// chargeBound is the input of the charge study as the folder has it, read once.
func (s *session) chargeBound(installation string) (charge.Input, error) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if in, known := s.bound[installation]; known {
		return in.input, in.err
	}
	in, err := bind.Charge(s.product, installation)
	in.MeanYear = s.options.MeanYear
	s.bound[installation] = boundCharge{in, err}
	return in, err
}

type boundCharge struct {
	input charge.Input
	err   error
}
