package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"platewright/internal/store"
	"platewright/internal/studio"
	"platewright/measure"
)

const (
	killedPlates  = 200
	killedDevices = 4
	killedTimes   = 14
	killedSeed    = 20260
)

// clockSteps are the presses of one plate, in their order.
var clockSteps = []studio.EventKind{
	studio.Poured, studio.InBath, studio.OutOfBath, studio.Loaded, studio.Exposed,
	studio.DeveloperOn, studio.DeveloperOff, studio.Fixed, studio.Washed, studio.Varnished,
}

// press is one event as a device sends it and as the studio gives it back.
type press struct {
	ID     studio.ID        `json:"id"`
	Kind   studio.EventKind `json:"kind"`
	At     time.Time        `json:"at"`
	Device string           `json:"device"`
}

// plateShown is a plate as the interface gives it.
type plateShown struct {
	Number string  `json:"number"`
	Last   string  `json:"last"`
	Next   string  `json:"next"`
	Events []press `json:"events"`
}

// TestKilled clocks 200 plates by four devices while the program is killed at moments nobody chose
// and started again. It holds that every acknowledged press is there after each kill, exactly once
// and in its order; that a press whose answer never came is harmless when it is sent again; and that
// in the end no press is missing and none is there that was not sent.
func TestKilled(t *testing.T) {
	dir := t.TempDir()
	numbers := planned(t, dir)
	k := &killing{t: t, dir: dir, acknowledged: map[string][]studio.ID{}, chance: rand.New(rand.NewPCG(killedSeed, 1))}
	k.at = opened(t, dir, "127.0.0.1:0")
	k.address = strings.TrimPrefix(k.at.base, "http://")

	var devices sync.WaitGroup
	for d := range killedDevices {
		devices.Go(func() {
			chance := rand.New(rand.NewPCG(killedSeed, uint64(100+d)))
			for i := d; i < len(numbers); i += killedDevices {
				k.clock(fmt.Sprint("device ", d), numbers[i], chance)
			}
		})
	}
	ended := make(chan struct{})
	go func() { devices.Wait(); close(ended) }()
	k.kills(ended)
	<-ended
	k.check(numbers)
	for _, n := range numbers {
		shown := k.plate(n)
		if len(shown.Events) != len(clockSteps) || shown.Last != string(studio.Varnished) || shown.Next != "" {
			t.Errorf("plate %s ends with %d events, last %q, next %q; want all %d steps and no next", n, len(shown.Events), shown.Last, shown.Next, len(clockSteps))
		}
	}
	k.at.stopped(t)
	t.Logf("%d kills; %d presses acknowledged, %d answers lost to a kill, %d sent again though acknowledged", k.count, k.acks.Load(), k.lost.Load(), k.repeats.Load())
	if k.count < killedTimes {
		t.Errorf("the program was killed %d times, want %d", k.count, killedTimes)
	}
	if k.lost.Load() == 0 {
		t.Error("no kill fell into a press, so nothing was proven of presses without an answer")
	}
}

// planned makes a studio with plates planned and returns their numbers.
func planned(t *testing.T, dir string) []string {
	t.Helper()
	s, err := store.Open(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	var numbers []string
	err = s.Bulk(t.Context(), func(records studio.Records) error {
		business := studio.New(records, time.Now, newID)
		if _, err := business.Begin(t.Context(), studio.Profile{Name: "Atelier at the Weir", Units: studio.Metric}); err != nil {
			return err
		}
		for range killedPlates {
			p, err := business.PlanPlate(t.Context(), studio.Plan{
				Size: measure.PlateSize{Name: "half plate", Width: 4.25 * measure.Inch, Height: 5.5 * measure.Inch}, Exposure: 4 * time.Second})
			if err != nil {
				return err
			}
			numbers = append(numbers, p.Number.String())
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	return numbers
}

// killing is a studio whose program is killed again and again.
type killing struct {
	t       *testing.T
	dir     string
	address string
	chance  *rand.Rand
	at      *serving
	count   int

	// Devices hold gate for reading while they send; it is held for writing from after a kill until
	// the program serves again and what it remembers was looked at.
	gate sync.RWMutex

	mu           sync.Mutex
	acknowledged map[string][]studio.ID // by plate, in the order of the answers

	acks, lost, repeats atomic.Int64
}

// kills kills the program at random counts of acknowledged presses, spread over all of them.
func (k *killing) kills(ended <-chan struct{}) {
	all := killedPlates * len(clockSteps)
	for i := range killedTimes {
		from := all * i / killedTimes
		wanted := int64(from + 1 + k.chance.IntN(all/killedTimes-1))
		for k.acks.Load() < wanted {
			select {
			case <-ended:
				return
			case <-time.After(200 * time.Microsecond):
			}
		}
		time.Sleep(time.Duration(k.chance.IntN(3000)) * time.Microsecond)
		k.at.killed(k.t) // in the middle of whatever is being sent
		k.count++
		k.gate.Lock()
		k.at = opened(k.t, k.dir, k.address)
		k.check(nil)
		k.gate.Unlock()
	}
}

// clock presses through all steps of one plate, sending each press until it is acknowledged.
func (k *killing) clock(device, number string, chance *rand.Rand) {
	for _, kind := range clockSteps {
		p := press{ID: newID(), Kind: kind, At: time.Now().UTC(), Device: device}
		for !k.send(number, p) {
			k.lost.Add(1)
			time.Sleep(2 * time.Millisecond)
		}
		if chance.IntN(10) == 0 { // the answer came, and the device sends once more
			if k.send(number, p) {
				k.repeats.Add(1)
			}
		}
	}
}

// sender sends for all devices.
var sender = &http.Client{Timeout: 20 * time.Second}

// send hands one press over and tells whether it was acknowledged. Any answer but 200 fails the test.
func (k *killing) send(number string, p press) bool {
	k.gate.RLock()
	defer k.gate.RUnlock()
	body, err := json.Marshal(p)
	if err != nil {
		k.t.Error(err)
		return true
	}
	r, err := sender.Post("http://"+k.address+"/api/plates/"+number+"/events", "application/json", bytes.NewReader(body))
	if err != nil {
		return false // the program is gone, and so is the answer
	}
	text, err := io.ReadAll(r.Body)
	if closed := r.Body.Close(); err != nil || closed != nil {
		return false
	}
	if r.StatusCode != http.StatusOK {
		k.t.Errorf("plate %s, %s: answered with %s: %s", number, p.Kind, r.Status, text)
		return true
	}
	k.mu.Lock()
	defer k.mu.Unlock()
	known := k.acknowledged[number]
	if len(known) == 0 || known[len(known)-1] != p.ID {
		k.acknowledged[number] = append(known, p.ID)
		k.acks.Add(1)
	}
	return true
}

// plate asks how a plate stands.
func (k *killing) plate(number string) plateShown {
	k.t.Helper()
	r, err := sender.Get("http://" + k.address + "/api/plates/" + number)
	if err != nil {
		k.t.Fatal(err)
	}
	var shown plateShown
	err = json.NewDecoder(r.Body).Decode(&shown)
	if closed := r.Body.Close(); err != nil || closed != nil || r.StatusCode != http.StatusOK {
		k.t.Fatalf("plate %s: %s, %v, %v", number, r.Status, err, closed)
	}
	return shown
}

// check looks whether every acknowledged press of these plates is there exactly once and in order;
// without plates, of every plate touched so far.
func (k *killing) check(numbers []string) {
	k.t.Helper()
	k.mu.Lock()
	defer k.mu.Unlock()
	if numbers == nil {
		for number := range k.acknowledged {
			numbers = append(numbers, number)
		}
	}
	for _, number := range numbers {
		want := k.acknowledged[number]
		var got []studio.ID
		once := map[studio.ID]bool{}
		for _, e := range k.plate(number).Events {
			if once[e.ID] {
				k.t.Errorf("after kill %d plate %s holds press %s twice", k.count, number, e.ID)
			}
			once[e.ID] = true
			got = append(got, e.ID)
		}
		// One press whose answer was lost may follow those acknowledged.
		if len(got) < len(want) || len(got) > len(want)+1 {
			k.t.Errorf("after kill %d plate %s holds %d presses, %d were acknowledged", k.count, number, len(got), len(want))
			continue
		}
		for i, id := range want {
			if got[i] != id {
				k.t.Errorf("after kill %d plate %s has %s in place %d, want %s", k.count, number, got[i], i+1, id)
			}
		}
	}
}

// TestKilledFilesWhole is the other half of a kill: what it leaves is a sound database.
func TestKilledFilesWhole(t *testing.T) {
	dir := t.TempDir()
	numbers := planned(t, dir)
	s := opened(t, dir, "127.0.0.1:0")
	stop := make(chan struct{})
	var sent sync.WaitGroup
	sent.Go(func() {
		for i := 0; ; i++ {
			select {
			case <-stop:
				return
			default:
			}
			body := fmt.Sprintf(`{"id":"note-%08d","kind":"noted","at":%q,"device":"pen","detail":{"words":"note %d"}}`, i, time.Now().UTC().Format(time.RFC3339Nano), i)
			r, err := sender.Post(s.base+"/api/plates/"+numbers[i%len(numbers)]+"/events", "application/json", strings.NewReader(body))
			if err != nil {
				return
			}
			if err := r.Body.Close(); err != nil {
				return
			}
		}
	})
	time.Sleep(150 * time.Millisecond)
	s.killed(t)
	close(stop)
	sent.Wait()
	kept, err := store.Open(context.Background(), dir)
	if err != nil {
		t.Fatalf("after a kill the studio does not open: %v", err)
	}
	defer func() {
		if err := kept.Close(); err != nil {
			t.Error(err)
		}
	}()
	business := studio.New(kept, time.Now, newID)
	found := 0
	for _, n := range numbers {
		number, err := studio.ParseNumber(n)
		if err != nil {
			t.Fatal(err)
		}
		story, err := business.Plate(t.Context(), number)
		if err != nil {
			t.Fatalf("plate %s: %v", n, err)
		}
		found += len(story.Events)
		// What a plate is found by is stored with the event, or neither is.
		for _, e := range story.Events {
			hits, err := business.Search(t.Context(), studio.Query{Words: e.Detail.Words, Kinds: []string{"plate"}, Most: 200})
			if err != nil {
				t.Fatal(err)
			}
			there := false
			for _, h := range hits {
				there = there || h.Ref == n
			}
			if !there {
				t.Errorf("plate %s holds %q and is not found by it", n, e.Detail.Words)
			}
		}
	}
	if found == 0 {
		t.Error("no note was stored before the kill")
	}
	t.Logf("%d notes stored before the kill", found)
}
