package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func workshop(t *testing.T, want int, args ...string) string {
	t.Helper()
	var out, errOut bytes.Buffer
	if status := Run(append([]string{"workshop"}, args...), nil, &out, &errOut); status != want {
		t.Fatalf("%v: found status %d, expected %d: %s%s", args, status, want, out.String(), errOut.String())
	}
	return out.String() + errOut.String()
}

func wantIn(t *testing.T, text string, words ...string) {
	t.Helper()
	for _, w := range words {
		if !strings.Contains(text, w) {
			t.Errorf("found %q, expected %q in it", text, w)
		}
	}
}

// A builder's round: in from a folder, out as files and as a zip, to another workshop, backed up, changed, restored.
func TestWorkshopCommands(t *testing.T) {
	dir := t.TempDir()
	first, second := "--workshop="+filepath.Join(dir, "first"), "--workshop="+filepath.Join(dir, "second")
	wantIn(t, workshop(t, 2, "verify", first), "found no workshop")
	wantIn(t, workshop(t, 0, "import", first, filepath.Join("..", "examples", "bramble-portal.rig.yaml")),
		"added bramble-portal.rig.yaml", "added bramble.rig.yaml", "added club-shelf.bin.yaml")
	wantIn(t, workshop(t, 0, "import", first, filepath.Join("..", "examples")), "same bramble.rig.yaml", "added gully.rig.yaml")
	files, zip := filepath.Join(dir, "files"), filepath.Join(dir, "all.zip")
	wantIn(t, workshop(t, 0, "export", first, files), "wrote 6 documents")
	workshop(t, 0, "export", first, zip)
	wantIn(t, workshop(t, 2, "export", first, zip), "already")
	workshop(t, 0, "export", first, "--replace", zip)
	wantIn(t, workshop(t, 0, "export", first, filepath.Join(dir, "one"), "gully.rig.yaml"), "wrote 2 documents")
	for _, name := range []string{"bramble.rig.yaml", "bramble-portal.rig.yaml", "gully.rig.yaml", "club-shelf.bin.yaml", "standard.bin.yaml"} {
		was, err := os.ReadFile(filepath.Join("..", "examples", name))
		if err != nil {
			t.Fatal(err)
		}
		if is, err := os.ReadFile(filepath.Join(files, name)); err != nil || !bytes.Equal(was, is) {
			t.Errorf("%s is not byte for byte what was imported (%v)", name, err)
		}
	}
	workshop(t, 0, "import", second, zip)
	backup := filepath.Join(dir, "b.db")
	workshop(t, 0, "backup", first, backup)
	wantIn(t, workshop(t, 2, "backup", first, backup), "already")

	changed := filepath.Join(files, "gully.rig.yaml")
	body, err := os.ReadFile(changed)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(changed, append(body, "# changed\n"...), 0o644); err != nil {
		t.Fatal(err)
	}
	wantIn(t, workshop(t, 0, "import", first, changed), "changed gully.rig.yaml")
	wantIn(t, workshop(t, 0, "verify", first), "is sound", "7 revisions")
	wantIn(t, workshop(t, 0, "restore", first, backup), "6 revisions", "is kept in")
	wantIn(t, workshop(t, 0, "verify", first), "6 revisions")

	if err := os.WriteFile(changed, []byte("lowslung: 1\nnmae: x\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	wantIn(t, workshop(t, 2, "import", first, files), "gully.rig.yaml:2:1", `did you mean "name"`, "Nothing was saved")
	wantIn(t, workshop(t, 2, "import", first, filepath.Join(dir, "nothing")), "found no folder or file")
	if err := os.WriteFile(filepath.Join(dir, "first", "workshop.db"), []byte(strings.Repeat("junk ", 100)), 0o644); err != nil {
		t.Fatal(err)
	}
	wantIn(t, workshop(t, 2, "verify", first), "is no workshop")
}
