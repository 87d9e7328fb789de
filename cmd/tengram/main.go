// Command tengram is the whole program: it makes the demo clinic, serves the
// pages, imports a panel, says who is due, evaluates measures, and runs single
// assessments and calculators.
//
// It is the one place that knows every adapter. Exit codes: 0 fine, 1 the work
// found problems, 2 wrong use.
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"syscall"

	"github.com/alecthomas/kong"
)

// The exit codes of every command.
const (
	exitFine     = 0
	exitProblems = 1
	exitWrongUse = 2
)

type commands struct {
	Demo     demoCmd     `cmd:"" help:"Make the demo clinic, serve it on this machine and print where the programme stands."`
	Serve    serveCmd    `cmd:"" help:"Serve the pages of a practice."`
	Import   importCmd   `cmd:"" help:"Read a FHIR R4 export into a practice's data."`
	Evaluate evaluateCmd `cmd:"" help:"Evaluate a quality measure over a practice's data or straight over files."`
	Due      dueCmd      `cmd:"" help:"List who is due for a foot exam, in the order to call."`
	Assess   assessCmd   `cmd:"" help:"Judge one exam document: findings, risk, what is missing, plan."`
	Calc     calcCmd     `cmd:"" help:"List the calculators, or run one."`
	Export   exportCmd   `cmd:"" help:"Write out exams, records or the panel, one JSON document a line, or exams as FHIR."`
	Report   reportCmd   `cmd:"" help:"Report a measure as FHIR, QRDA or a table."`
	Version  versionCmd  `cmd:"" help:"Print the version."`
}

// session is what a command runs with.
type session struct {
	ctx    context.Context
	in     io.Reader
	out    io.Writer
	err    io.Writer
	getenv func(string) string
}

// problems is an error that means: the work was done and found problems.
type problems struct{ error }

// wrongUse is an error that means: the command was used wrongly.
type wrongUse struct{ error }

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(&session{ctx: ctx, in: os.Stdin, out: os.Stdout, err: os.Stderr, getenv: os.Getenv}, os.Args[1:])
	stop()
	os.Exit(code)
}

// run is the whole program; tests call it.
func run(s *session, args []string) int {
	var cmds commands
	parser, err := kong.New(&cmds,
		kong.Name("tengram"),
		kong.Description("Diabetes foot care for a primary-care practice: who is due, the exam, the risk, the plan, the measure.\n\nExit codes: 0 fine, 1 the work found problems, 2 wrong use."),
		kong.Writers(s.out, s.err),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true, WrapUpperBound: 80}),
		kong.UsageOnError(),
		kong.Exit(func(code int) { panic(exit(code)) }),
		kong.Bind(s),
		kong.Vars{"measures": measureIDs(), "sets": setIDs()},
	)
	if err != nil {
		fmt.Fprintln(s.err, "tengram:", err)
		return exitWrongUse
	}
	code, done := parse(parser, s, args)
	if done {
		return code
	}
	return code
}

// exit carries kong's wish to end the process (after --help) up to run.
type exit int

func parse(parser *kong.Kong, s *session, args []string) (code int, done bool) {
	defer func() {
		if r := recover(); r != nil {
			e, ok := r.(exit)
			if !ok {
				panic(r)
			}
			code, done = int(e), true
		}
	}()
	if len(args) == 0 {
		args = []string{"--help"}
	}
	kctx, err := parser.Parse(args)
	if err != nil {
		fmt.Fprintf(s.err, "tengram: %v\nTry: tengram --help\n", err)
		return exitWrongUse, true
	}
	return s.exitCode(kctx.Run()), false
}

func (s *session) exitCode(err error) int {
	var found problems
	var wrong wrongUse
	switch {
	case err == nil:
		return exitFine
	case errors.As(err, &wrong):
		fmt.Fprintln(s.err, "tengram:", err)
		return exitWrongUse
	case errors.As(err, &found):
		if text := err.Error(); text != "" {
			fmt.Fprintln(s.err, "tengram:", text)
		}
		return exitProblems
	}
	fmt.Fprintln(s.err, "tengram:", err)
	return exitProblems
}
