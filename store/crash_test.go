package store

import (
	"bufio"
	"context"
	"encoding/hex"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"
)

// TestMain turns this binary into the process that TestKilled kills.
func TestMain(m *testing.M) {
	if folder := os.Getenv("LOWSLUNG_TEST_SAVES_IN"); folder != "" {
		if err := saveForever(folder); err != nil {
			fmt.Println("error", err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

// saveForever saves, undoes and creates without end, and says each thing that the store has answered as done.
func saveForever(folder string) error {
	ctx := context.Background()
	s, err := Open(ctx, folder, Options{})
	if err != nil {
		return err
	}
	say := func(d Document) {
		fmt.Printf("saved %s %d %x\n", d.File, d.Revision, d.Hash[:])
	}
	fmt.Println("ready")
	for i := 0; ; i++ {
		file := fmt.Sprintf("r%d.rig.yaml", i%4)
		text := fmt.Appendf(nil, "lowslung: 1\nname: n%d-%d\nnotes: %q\n", os.Getpid(), i, strings.Repeat("long ", 50*(i%40)))
		var d Document
		err := s.Look(ctx, func(v Snapshot) (err error) { d, err = v.Named(file); return err })
		switch {
		case CodeOf(err) == NotFound:
			d, err = s.Create(ctx, file, text, "begun")
		case err != nil:
		case i%7 == 6 && d.CanUndo:
			d, err = s.Undo(ctx, d.ID, d.Version())
		default:
			d, err = s.Save(ctx, d.ID, d.Version(), text, "saved")
		}
		if err != nil {
			return err
		}
		say(d)
	}
}

// TestKilled kills a process that saves, 200 times at a random moment. Every save that was answered must be there afterwards,
// with its text, and the workshop must be sound. The seed is printed; LOWSLUNG_TEST_SEED sets it.
func TestKilled(t *testing.T) {
	kills := 200
	if testing.Short() {
		kills = 20
	}
	seed := uint64(time.Now().UnixNano())
	if s := os.Getenv("LOWSLUNG_TEST_SEED"); s != "" {
		var err error
		if seed, err = strconv.ParseUint(s, 10, 64); err != nil {
			t.Fatal(err)
		}
	}
	t.Logf("LOWSLUNG_TEST_SEED=%d", seed)
	chance := rand.New(rand.NewPCG(seed, 1))
	folder := t.TempDir()
	answered := map[string]Hash{} // "file number" → hash
	startup := 0
	for kill := range kills {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), "LOWSLUNG_TEST_SAVES_IN="+folder)
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		// Most kills hit saves, counted from when they begin; every tenth hits the start: the opening of the workshop and the
		// recovery from the kill before.
		wait := time.Duration(chance.IntN(50_000)) * time.Microsecond
		killed := func() { cmd.Process.Kill() }
		var timer *time.Timer
		if kill%10 == 0 {
			timer = time.AfterFunc(wait, killed)
		}
		ready := false
		fresh := map[string]Hash{}
		lines := bufio.NewScanner(out)
		for lines.Scan() {
			f := strings.Fields(lines.Text())
			switch {
			case len(f) == 1 && f[0] == "ready":
				ready = true
				if timer == nil {
					timer = time.AfterFunc(wait, killed)
				}
			case len(f) == 4 && f[0] == "saved" && len(f[3]) == 64:
				var h Hash
				if _, err := hex.Decode(h[:], []byte(f[3])); err != nil {
					t.Fatal(err)
				}
				fresh[f[1]+" "+f[2]] = h
			case len(f) > 0 && f[0] == "error":
				t.Errorf("kill %d: the process that saves stopped: %s", kill, lines.Text())
			}
		}
		if timer != nil {
			timer.Stop()
		}
		cmd.Process.Kill()
		cmd.Wait()
		if !ready {
			startup++
		}
		whole := kill%20 == 19 || kill == kills-1
		maps.Copy(answered, fresh)
		if whole {
			fresh = answered
		}
		wantAnswered(t, folder, fresh, whole)
		if t.Failed() {
			t.Fatalf("stopped after kill %d", kill)
		}
	}
	t.Logf("%d kills, %d of them before the workshop was open; %d saves were answered, all of them are there", kills, startup, len(answered))
	if len(answered) < kills {
		t.Errorf("only %d saves in %d runs: the test does not hit what it should", len(answered), kills)
	}
}

// wantAnswered opens the workshop and looks for each save in answered; whole asks for a full Verify as well.
func wantAnswered(t *testing.T, folder string, answered map[string]Hash, whole bool) {
	t.Helper()
	s, err := Open(t.Context(), folder, Options{})
	if err != nil {
		t.Fatal(explain(err))
	}
	defer s.Close()
	for key, hash := range answered {
		file, number, _ := strings.Cut(key, " ")
		var body []byte
		err := s.db.QueryRow(`SELECT t.body FROM revision r JOIN document d ON d.id = r.document JOIN text t ON t.hash = r.hash
			WHERE d.file = ? AND r.number = ?`, file, number).Scan(&body)
		if err != nil || HashOf(body) != hash {
			t.Errorf("revision %s was answered as saved and is not there as it was (%v)", key, err)
		}
	}
	if whole {
		wantSound(t, s)
		return
	}
	if problems, err := integrity(t.Context(), s.db); err != nil || len(problems) > 0 {
		t.Errorf("found %v, %v, expected a sound file", problems, err)
	}
}
