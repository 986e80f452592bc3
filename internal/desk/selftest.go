package desk

import (
	"context"
	"fmt"
	"net/http"
	"strconv"
	"sync"

	"hindwatt/internal/reference"
)

// checks is the run of the reference checks, if somebody has asked for one.
type checks struct {
	running   sync.WaitGroup
	mutex     sync.Mutex
	started   bool
	done, all int
	outcomes  []reference.Outcome
	err       error
}

func (c *checks) wait() { c.running.Wait() }

// start runs the checks, unless they are running.
func (c *checks) start(ctx context.Context) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	if c.started && c.outcomes == nil && c.err == nil {
		return
	}
	c.started, c.outcomes, c.err, c.done, c.all = true, nil, nil, 0, 0
	c.running.Go(func() {
		outcomes, err := reference.Run(ctx, func(done, all int) {
			c.mutex.Lock()
			defer c.mutex.Unlock()
			c.done, c.all = done, all
		})
		c.mutex.Lock()
		defer c.mutex.Unlock()
		c.outcomes, c.err = outcomes, err
	})
}

// checked is one outcome for the page.
type checked struct {
	ID, What, Got, Want, Unit, Source, Status, Note string
	Pass                                            bool
}

// topic is the outcomes of one field.
type topic struct {
	Name   string
	Missed int
	Checks []checked
}

// selftest shows the checks against sources outside the project.
func (d *Desk) selftest(w http.ResponseWriter, f frame) {
	f.Title = "Selftest"
	c := &d.checks
	c.mutex.Lock()
	defer c.mutex.Unlock()
	data := struct {
		Frame                 frame
		Started, Running      bool
		Count, Failed, Button string
		Topics                []topic
	}{Started: c.started, Button: "Run the checks"}
	switch {
	case c.err != nil:
		data.Failed, data.Button = c.err.Error(), "Run them again"
	case c.outcomes != nil:
		missed := reference.Missed(c.outcomes)
		data.Count = fmt.Sprintf("%d checks: %d agree, %d do not", len(c.outcomes), len(c.outcomes)-missed, missed)
		data.Topics, data.Button = topics(c.outcomes), "Run them again"
	case c.started:
		data.Running, f.Again = true, "2"
		data.Count = fmt.Sprintf("%d of %d checks done", c.done, c.all)
	}
	data.Frame = f
	d.show(w, http.StatusOK, "selftest", data)
}

// topics sorts outcomes by topic, those that do not agree first in each.
func topics(outcomes []reference.Outcome) (all []topic) {
	for _, o := range outcomes {
		if len(all) == 0 || all[len(all)-1].Name != o.Topic {
			all = append(all, topic{Name: o.Topic})
		}
		t := &all[len(all)-1]
		shown := checked{
			ID: o.ID, What: o.What, Want: strconv.FormatFloat(o.Want, 'g', -1, 64), Unit: o.Unit,
			Source: o.Source, Status: o.Status, Note: o.Note, Pass: o.Pass(),
		}
		if shown.Got = strconv.FormatFloat(o.Got, 'g', 8, 64); o.Err != nil {
			shown.Got = o.Err.Error()
		}
		if shown.Pass {
			t.Checks = append(t.Checks, shown)
		} else {
			t.Checks = append([]checked{shown}, t.Checks...)
			t.Missed++
		}
	}
	return all
}

func (d *Desk) startSelftest(w http.ResponseWriter, r *http.Request) {
	d.checks.start(d.stop)
	http.Redirect(w, r, "/selftest", http.StatusSeeOther)
}
