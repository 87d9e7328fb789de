package main

import (
	"context"
	"crypto/rand"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"tengram/internal/clinic"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/when"
	"tengram/internal/store/sqlite"
)

// databaseName is the file inside the data folder that holds everything.
const databaseName = "tengram.db"

// zoneFlag is the practice's own calendar.
type zoneFlag struct {
	Zone string `help:"Time zone of the practice, such as America/New_York; this machine's when left out." placeholder:"ZONE"`
}

// location returns the zone, the machine's own by default.
func (z zoneFlag) location() (*time.Location, error) {
	if z.Zone == "" {
		return time.Local, nil
	}
	loc, err := time.LoadLocation(z.Zone)
	if err != nil {
		return nil, wrongUse{fmt.Errorf("--zone %s is not a time zone: %w", z.Zone, err)}
	}
	return loc, nil
}

// operator is who the command line acts as: the person at this machine.
func operator() exam.Person {
	return exam.Person{ID: "command-line", Name: "Command line", Role: clinic.Admin}
}

// openPractice opens the data folder. It makes the folder and an empty
// database where there is none and create is set.
func openPractice(ctx context.Context, dir string, zone *time.Location, create bool) (*clinic.Clinic, error) {
	file := filepath.Join(dir, databaseName)
	if _, err := os.Stat(file); err != nil && !create {
		return nil, wrongUse{fmt.Errorf("%s holds no practice: tengram import --data %s PATH... makes one", dir, dir)}
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, wrongUse{err}
	}
	store, err := sqlite.Open(ctx, file)
	if err != nil {
		return nil, fmt.Errorf("open %s: %w", file, err)
	}
	return &clinic.Clinic{Store: store, Now: func() time.Time { return time.Now().In(zone) }, Zone: zone, NewID: newID}, nil
}

// fixToday makes the clinic live on one day, at noon: the demo and the checks
// of a list are the same every time.
func fixToday(c *clinic.Clinic, day when.Day) {
	y, m, d := day.YMD()
	noon := time.Date(y, m, d, 12, 0, 0, 0, c.Zone)
	c.Now = func() time.Time { return noon }
}

// newID makes a random UUID, version 4.
func newID() string {
	var b [16]byte
	_, _ = rand.Read(b[:]) // never fails: crypto/rand ends the program instead
	b[6], b[8] = b[6]&0x0f|0x40, b[8]&0x3f|0x80
	return fmt.Sprintf("%x-%x-%x-%x-%x", b[0:4], b[4:6], b[6:8], b[8:10], b[10:])
}

func parseToday(text string) (when.Day, error) {
	day, err := when.ParseDay(text)
	if err != nil {
		return 0, wrongUse{fmt.Errorf("--today: %w", err)}
	}
	return day, nil
}
