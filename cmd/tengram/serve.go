package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"sync"
	"time"

	"tengram/internal/access"
	"tengram/internal/clinic"
	"tengram/internal/kernel/record"
	"tengram/internal/publish/fhir"
	"tengram/internal/web"
)

// passphraseVariable may hold the passphrase of the first run, for scripts; a
// person lets the program make one.
const passphraseVariable = "TENGRAM_PASSPHRASE"

// freshEvery is how often rows of the panel that ran out at midnight are looked
// for.
const freshEvery = 10 * time.Minute

type serveCmd struct {
	Data   string `help:"Data folder of the practice; it is made if it is not there." required:"" type:"path" placeholder:"DIR"`
	Listen string `help:"Address to listen on. The default is this machine only; anything else needs transport encryption in front." default:"127.0.0.1:8480" placeholder:"HOST:PORT"`
	zoneFlag
}

// Help shows an example.
func (serveCmd) Help() string {
	return "Example:\n  tengram serve --data ~/practice\n\nThe first run makes a passphrase and shows it once. " + passphraseVariable + " may give it instead."
}

// Run serves the pages until it is told to stop.
func (c serveCmd) Run(s *session) error {
	zone, err := c.location()
	if err != nil {
		return err
	}
	practice, err := openPractice(s.ctx, c.Data, zone, true)
	if err != nil {
		return err
	}
	defer practice.Store.Close()
	return serve(s, practice, c.Listen, false)
}

// examBundle writes a signed exam for another record system: with names, since it
// is for the care of this person, and with the state of its referrals.
func examBundle(signed record.SignedExam, person record.Person, referrals []record.Referral) ([]byte, error) {
	return fhir.ExamBundle(signed, person, fhir.Options{Names: true, Referrals: referrals})
}

// serve makes sure that somebody can sign in, says where the pages are, and
// serves them until the session's context ends. madeUp tells every page to say
// that its people are invented.
func serve(s *session, practice *clinic.Clinic, address string, madeUp bool) error {
	passphrase := s.getenv(passphraseVariable)
	listener, err := (&net.ListenConfig{}).Listen(s.ctx, "tcp", address)
	if err != nil {
		return wrongUse{fmt.Errorf("cannot listen on %s: %w; choose another with --listen", address, err)}
	}
	log := slog.New(slog.NewTextHandler(s.err, &slog.HandlerOptions{Level: slog.LevelWarn}))
	gate, err := access.New(practice, access.Options{})
	if err != nil {
		return err
	}
	made, shown, err := gate.FirstRun(s.ctx, passphrase)
	if err != nil {
		return err
	}
	fmt.Fprintf(s.out, "Listening on http://%s\n", listener.Addr())
	if made && passphrase == "" {
		fmt.Fprintf(s.out, "Passphrase for this practice, shown this once: %s\n", shown)
	}
	warnIfOpen(s, listener.Addr())
	server := &http.Server{
		Handler:           web.New(web.Config{Clinic: practice, Access: gate, Logger: log, Version: version, Account: access.FirstAccount, Demo: madeUp, Bundle: examBundle, Charts: pictures{}, Reports: reports{}}),
		ReadHeaderTimeout: 10 * time.Second,
		ReadTimeout:       time.Minute,
		WriteTimeout:      2 * time.Minute,
		IdleTimeout:       2 * time.Minute,
		ErrorLog:          slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
	defer practice.EndWork()
	keeping, endKeeping := context.WithCancel(s.ctx)
	var kept sync.WaitGroup
	kept.Go(func() {
		practice.KeepFresh(keeping, freshEvery, func(err error) { log.Error("the panel could not be rebuilt", "error", err) })
	})
	defer kept.Wait()
	defer endKeeping()
	stopped := make(chan error, 1)
	go func() { stopped <- server.Serve(listener) }()
	select {
	case err := <-stopped:
		return err
	case <-s.ctx.Done():
	}
	ending, cancel := context.WithTimeout(context.WithoutCancel(s.ctx), 10*time.Second)
	defer cancel()
	if err := server.Shutdown(ending); err != nil && !errors.Is(err, http.ErrServerClosed) {
		return fmt.Errorf("stop the server: %w", err)
	}
	return nil
}

// warnIfOpen says so when the pages can be reached from other machines.
func warnIfOpen(s *session, address net.Addr) {
	if tcp, ok := address.(*net.TCPAddr); ok && !tcp.IP.IsLoopback() {
		fmt.Fprintln(s.err, "tengram: this address can be reached from other machines; put transport encryption in front of it")
	}
}
