package clinic

import (
	"context"

	"tengram/internal/kernel/assess"
	"tengram/internal/kernel/exam"
	"tengram/internal/kernel/neuro"
)

// The names of the settings.
const (
	editionSetting  = "edition"
	recallSetting   = "recall-choice"
	protocolSetting = "monofilament-protocol"
	practiceSetting = "practice-name"
	phoneSetting    = "practice-phone"
)

// Preferences are what a practice decides once.
type Preferences struct {
	// Edition is the id of the edition in force.
	Edition string `json:"edition"`
	// RecallChoice is the place inside a recall interval: "min", "middle" or
	// "max".
	RecallChoice string `json:"recall-choice"`
	// Protocol is the plan of monofilament sites of new exams.
	Protocol neuro.Protocol `json:"monofilament-protocol,omitzero"`
	// Practice and Phone stand on letters and patients' sheets.
	Practice string `json:"practice-name"`
	Phone    string `json:"practice-phone"`
}

// Settings returns the practice's preferences, with the defaults where nothing
// was decided.
func (c *Clinic) Settings(ctx context.Context) (Preferences, error) {
	p := Preferences{Edition: assess.DefaultEdition().ID, RecallChoice: assess.DefaultEdition().RecallChoice}
	for _, s := range []struct {
		key string
		to  *string
	}{
		{editionSetting, &p.Edition}, {recallSetting, &p.RecallChoice},
		{practiceSetting, &p.Practice}, {phoneSetting, &p.Phone},
	} {
		v, err := c.Store.Setting(ctx, s.key)
		if err != nil {
			return p, err
		}
		if v != "" {
			*s.to = v
		}
	}
	var err error
	p.Protocol, err = c.protocol(ctx)
	return p, err
}

func (c *Clinic) protocol(ctx context.Context) (neuro.Protocol, error) {
	// The four sites of the ADA's 2008 report (second hand) hold the three of
	// IWGDF, so that both can be read from one test.
	p := neuro.FourSites
	v, err := c.Store.Setting(ctx, protocolSetting)
	if err != nil || v == "" {
		return p, err
	}
	if err := p.UnmarshalText([]byte(v)); err != nil {
		return p, Errorf(Invalid, "setting %s is %q, which this program does not know: choose it again", protocolSetting, v)
	}
	return p, nil
}

// SetSettings keeps the preferences that differ from those in force.
func (c *Clinic) SetSettings(ctx context.Context, who exam.Person, p Preferences) error {
	if err := allow(who, Decide); err != nil {
		return err
	}
	if _, err := assess.EditionByID(p.Edition); err != nil {
		return &Error{Code: Invalid, Message: "set the edition", Err: err}
	}
	if p.RecallChoice != "min" && p.RecallChoice != "middle" && p.RecallChoice != "max" {
		return Errorf(Invalid, "the choice inside a recall interval is min, middle or max, not %q", p.RecallChoice)
	}
	protocol, err := p.Protocol.MarshalText()
	if err != nil {
		return Errorf(Invalid, "the monofilament protocol is not one this program knows")
	}
	before, err := c.Settings(ctx)
	if err != nil {
		return err
	}
	was, err := before.Protocol.MarshalText()
	if err != nil {
		return err
	}
	for _, s := range []struct{ key, old, new string }{
		{editionSetting, before.Edition, p.Edition},
		{recallSetting, before.RecallChoice, p.RecallChoice},
		{protocolSetting, string(was), string(protocol)},
		{practiceSetting, before.Practice, p.Practice},
		{phoneSetting, before.Phone, p.Phone},
	} {
		if s.old == s.new {
			continue
		}
		if err := c.Store.SetSetting(ctx, s.key, s.new, c.line(who, "set "+s.key, "", s.new)); err != nil {
			return err
		}
	}
	return nil
}

// Edition returns the edition of the rules in force, with the practice's choice
// inside recall intervals.
func (c *Clinic) Edition(ctx context.Context) (assess.Edition, error) {
	p, err := c.Settings(ctx)
	if err != nil {
		return assess.Edition{}, err
	}
	e, err := assess.EditionByID(p.Edition)
	if err != nil {
		return e, &Error{Code: Invalid, Message: "the edition in force is not one this program knows: choose another, or use the program that knows it", Err: err}
	}
	e.RecallChoice = p.RecallChoice
	return e, nil
}

// SetEdition puts another edition in force. Exams that are signed already keep
// the edition that judged them.
func (c *Clinic) SetEdition(ctx context.Context, who exam.Person, id string) error {
	p, err := c.Settings(ctx)
	if err != nil {
		return err
	}
	p.Edition = id
	return c.SetSettings(ctx, who, p)
}
