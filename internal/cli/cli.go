// Package cli holds the verbs of the hindwatt command: it reads arguments, calls, and prints.
// It computes nothing and words no figure.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"time"

	"github.com/alecthomas/kong"

	"hindwatt/internal/numeric"
	"hindwatt/internal/product"
)

// Exit codes of all verbs.
const (
	exitDone        = 0
	exitBad         = 1 // done, and the answer is bad
	exitInput       = 2 // input at fault, or a study that a promise needs could not be computed
	exitInterrupted = 130
)

// code is returned by a verb that has printed all there is to say.
type code int

func (c code) Error() string { return fmt.Sprintf("exit %d", int(c)) }

// world is what a verb may touch.
type world struct {
	ctx    context.Context
	in     io.Reader
	out    io.Writer
	err    io.Writer
	screen screen
}

type verbs struct {
	Demo        demoVerb        `cmd:"" group:"begin" help:"Write the example product, check it, write its dossier, say what to do next."`
	New         newVerb         `cmd:"" group:"begin" help:"Ask eight questions and start a commented folder."`
	Check       checkVerb       `cmd:"" group:"ask" help:"Every promise and its verdict."`
	Study       studyVerb       `cmd:"" group:"ask" help:"One study in full; without a name, the list."`
	Compare     compareVerb     `cmd:"" group:"ask" help:"The product beside its variants and revisions: promises, cost, minutes, parts, bad ends, and which are beaten."`
	Hindsight   hindsightVerb   `cmd:"" group:"ask" help:"What each variant and allowed change would have brought over the life as it happened, and which decisions held up."`
	Sensitivity sensitivityVerb `cmd:"" group:"ask" help:"What moves a figure: the change for each input's tolerance, and where a promise would be lost or kept."`
	Grid        gridVerb        `cmd:"" group:"ask" help:"Figures over many values of inputs, as CSV; on all cores, and going on after a kill."`
	Record      recordVerb      `cmd:"" group:"write down" help:"Append one record: made, sold, returned, spent, hours, reading."`
	Sheet       sheetVerb       `cmd:"" group:"write down" help:"Between which readings a unit that is made is accepted, and a test sheet to print."`
	Import      importVerb      `cmd:"" group:"write down" help:"Take the rows of a CSV file or a workbook into the records or the bill of materials."`
	Open        openVerb        `cmd:"" group:"look, and hand on" help:"Open the desk: the folder in the browser, on this machine only."`
	Publish     publishVerb     `cmd:"" group:"look, and hand on" help:"Write the dossier page."`
	Calc        calcVerb        `cmd:"" group:"tools" help:"One small calculation; without a name, the list."`
	Selftest    selftestVerb    `cmd:"" group:"tools" help:"Run the checks against published values on this machine."`
}

// Run carries out one command line and returns its exit code.
func Run(args []string, in io.Reader, out, errs io.Writer) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	line := progressOn(errs)
	printed := &checked{to: line.before(out)}
	errs = line.before(errs)
	w := &world{ctx: numeric.WithProgress(ctx, line.tell), in: in, out: printed, err: errs, screen: screenOf(out)}
	err := interruptible(ctx, func() error { return run(w, args) })
	line.end()
	var exit code
	switch {
	case printed.err != nil:
		fmt.Fprintln(errs, "hindwatt: the output could not be written: "+printed.err.Error())
		return exitInput
	case err == nil:
		return exitDone
	case errors.As(err, &exit):
		return int(exit)
	case ctx.Err() != nil:
		fmt.Fprintln(errs, "hindwatt: interrupted")
		return exitInterrupted
	}
	fmt.Fprintln(errs, strings.TrimRight(told(err), "\n"))
	return exitInput
}

// grace is how long a verb has, once it is interrupted, to finish what it is writing.
const grace = 100 * time.Millisecond

// interruptible runs a verb and, once ctx ends, leaves it to itself after the grace: files are written whole or not at all, so that
// nothing is lost by not waiting for a computation.
func interruptible(ctx context.Context, verb func() error) error {
	done := make(chan error, 1)
	go func() { done <- verb() }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	select {
	case err := <-done:
		return err
	case <-time.After(grace):
		return ctx.Err()
	}
}

// checked remembers the first failure to write, so that output which was lost is never taken for done.
type checked struct {
	to  io.Writer
	err error
}

func (c *checked) Write(p []byte) (int, error) {
	n, err := c.to.Write(p)
	if c.err == nil {
		c.err = err
	}
	return n, err
}

// told words an error: the faults of a folder each with its place and its line, underlined, any
// other with the program's name before it.
func told(err error) string {
	if several, ok := err.(interface{ Unwrap() []error }); ok {
		var all []string
		for _, one := range several.Unwrap() {
			all = append(all, strings.TrimRight(told(one), "\n"))
		}
		return strings.Join(all, "\n")
	}
	var faults product.Errors
	var fault *product.Error
	switch {
	case errors.As(err, &faults):
		return faults.Detail()
	case errors.As(err, &fault):
		return fault.Detail()
	}
	return "hindwatt: " + err.Error()
}

func run(w *world, args []string) (err error) {
	if len(args) == 0 {
		args = []string{"--help"}
	}
	var v verbs
	parser, err := kong.New(&v,
		kong.Name("hindwatt"),
		kong.Description("Does the controller do what its label says? One folder of plain files, every promise with its verdict."),
		kong.Writers(w.out, w.err),
		kong.Exit(func(n int) { panic(code(n)) }), // only main leaves the process
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, NoExpandSubcommands: true}),
		kong.ExplicitGroups([]kong.Group{
			{Key: "begin", Title: "begin"}, {Key: "ask", Title: "ask"}, {Key: "write down", Title: "write down"},
			{Key: "look, and hand on", Title: "look, and hand on"}, {Key: "tools", Title: "tools"},
		}),
	)
	if err != nil {
		return err
	}
	defer func() {
		if r := recover(); r != nil {
			n, ours := r.(code)
			if !ours {
				panic(r)
			}
			err = n
		}
	}()
	command, err := parser.Parse(args)
	if err != nil {
		return fmt.Errorf("%w; see hindwatt --help", err)
	}
	return command.Run(w)
}
