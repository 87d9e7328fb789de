// Command measure times the quality measures over the charts of a large
// population, which is made as it goes and never stands in memory as a whole.
//
//	go run ./bench/measure -people 1000000
//
// prints people a second and core for each measure and for all of them, and the
// peak of memory. With -write it writes the first charts as FHIR, with what the
// foot exam measure says of each, so that another engine can be timed over the
// same people.
package main

import (
	"bufio"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"tengram/internal/kernel/measure"
	"tengram/internal/kernel/record"
)

// block is how many charts are made before they are judged: far more than fit
// into a cache, so that each is read from memory as it would be in use.
const block = 200

func main() {
	people := flag.Int("people", 1_000_000, "how many people")
	share := flag.Float64("diabetes", 0.14, "share of them with diabetes")
	write := flag.String("write", "", "folder for the first charts as FHIR")
	sample := flag.Int("sample", 500, "how many charts to write")
	flag.Parse()
	if err := run(*people, *share, *write, *sample); err != nil {
		fmt.Fprintln(os.Stderr, "measure:", err)
		os.Exit(1)
	}
}

func run(people int, share float64, write string, sample int) error {
	zone, err := time.LoadLocation("America/New_York")
	if err != nil {
		return err
	}
	ctx := measure.Context{Period: measure.Year(2018), Zone: zone}
	if write != "" {
		return writeSample(write, share, sample, ctx)
	}
	began := time.Now()
	all := timeAll(people, share, ctx)
	all.print(time.Since(began))
	return nil
}

func writeSample(folder string, share float64, sample int, ctx measure.Context) error {
	m := newMaker(share)
	if err := writeFHIR(folder, m, sample); err != nil {
		return err
	}
	file, err := os.Create(filepath.Join(folder, "ours.jsonl"))
	if err != nil {
		return err
	}
	out := bufio.NewWriter(file)
	foot := measure.FootExam()
	var r record.Record
	for i := range sample {
		m.chart(i, &r)
		r.Exams, r.Referrals = nil, nil // as they are not in the FHIR either
		_, _ = out.Write(foot.Evaluate(&r, ctx).AppendLine(nil))
	}
	if err := out.Flush(); err != nil {
		return err
	}
	return file.Close()
}

// times are what was spent of processors in each measure, by all workers
// together.
type times struct {
	people, facts int
	measures      []measure.Measure
	spent         []time.Duration
	tallies       []measure.Tally
	explained     time.Duration
}

func newTimes() *times {
	all := measure.All()
	return &times{measures: all, spent: make([]time.Duration, len(all)), tallies: make([]measure.Tally, len(all))}
}

// timeAll judges everybody by every measure on all cores, and by the first of
// them, the foot exam, once more with its reasons.
func timeAll(people int, share float64, ctx measure.Context) *times {
	var next atomic.Int64
	var wg sync.WaitGroup
	var mu sync.Mutex
	sum := newTimes()
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			keepThread()
			t, m := newTimes(), newMaker(share)
			charts := make([]record.Record, block)
			for {
				first := int(next.Add(block)) - block
				if first >= people {
					break
				}
				t.judge(m, charts[:min(block, people-first)], first, ctx)
			}
			mu.Lock()
			defer mu.Unlock()
			sum.add(t)
		})
	}
	wg.Wait()
	return sum
}

func (t *times) judge(m *maker, charts []record.Record, first int, ctx measure.Context) {
	for i := range charts {
		m.chart(first+i, &charts[i])
		t.facts += len(charts[i].Facts)
	}
	t.people += len(charts)
	for i, measured := range t.measures {
		began := cpuTime()
		for j := range charts {
			t.tallies[i].Add(measured.Evaluate(&charts[j], ctx))
		}
		t.spent[i] += cpuTime() - began
	}
	ctx.Explain = true
	began := cpuTime()
	for j := range charts {
		t.measures[0].Evaluate(&charts[j], ctx)
	}
	t.explained += cpuTime() - began
}

func (t *times) add(o *times) {
	t.people += o.people
	t.facts += o.facts
	t.explained += o.explained
	for i := range t.measures {
		t.spent[i] += o.spent[i]
		t.tallies[i].Merge(o.tallies[i])
	}
}

func (t *times) print(wall time.Duration) {
	var sum time.Duration
	line := func(name string, d time.Duration, tally string) {
		each := float64(d) / float64(t.people)
		fmt.Printf("  %-26s %9.0f ns a person, %11.0f people a second and core%s\n", name, each, 1e9/each, tally)
	}
	fmt.Printf("%d people, %.0f facts each, %d cores, %.1f s with the making of the charts\n", t.people, float64(t.facts)/float64(t.people), runtime.GOMAXPROCS(0), wall.Seconds())
	for i, m := range t.measures {
		c := t.tallies[i]
		line(m.ID, t.spent[i], fmt.Sprintf("  (%d counted, %d left out, %d met)", c.Denominator, c.DenominatorExclusion, c.Numerator))
		sum += t.spent[i]
	}
	line("all measures", sum, "")
	line("foot-exam with reasons", t.explained, "")
	fmt.Printf("  peak memory %s\n", peak())
}

// peak is the most memory that the process ever held, as the system tells it.
func peak() string {
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		return "unknown on this system"
	}
	for line := range strings.Lines(string(status)) {
		if rest, ok := strings.CutPrefix(line, "VmHWM:"); ok {
			return strings.TrimSpace(rest)
		}
	}
	return "unknown on this system"
}
