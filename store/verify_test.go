package store

import (
	"fmt"
	"strings"
	"testing"
)

// Verify must find each kind of damage; here it is done behind the store's back.
func TestVerifyFinds(t *testing.T) {
	for name, c := range map[string]struct {
		damage []string
		want   string
	}{
		"text changed":          {[]string{"UPDATE text SET body = CAST(body || x'20' AS BLOB) WHERE hash = (SELECT hash FROM revision WHERE number = 1 LIMIT 1)"}, "no longer what was saved"},
		"text gone":             {[]string{"DELETE FROM text WHERE hash IN (SELECT hash FROM read_with)"}, "refers to nothing"},
		"head wrong":            {[]string{"UPDATE document SET head = 1 WHERE file = '" + baseFile + "'"}, "not the last one"},
		"revision gone":         {[]string{"DELETE FROM revision WHERE number = 2"}, "before this one is missing"},
		"chain wrong":           {[]string{"UPDATE revision SET stands_at = 1 WHERE number = 3"}, "has another text"},
		"parent wrong":          {[]string{"UPDATE revision SET parent = 9 WHERE number = 3"}, "was made from is missing"},
		"forgot its bin":        {[]string{"DELETE FROM read_with"}, "does not load"},
		"stored what is no rig": {[]string{"INSERT INTO text SELECT x'" + strings.Repeat("00", 32) + "', x'41'", "UPDATE revision SET hash = zeroblob(32) WHERE number = 2"}, "does not load"},
	} {
		t.Run(name, func(t *testing.T) {
			s := open(t)
			create(t, s, binFile, []byte(binText))
			create(t, s, userFile, []byte(userText))
			d := create(t, s, baseFile, []byte("lowslung: 1\nname: a\n"))
			for _, n := range []string{"b", "c"} {
				var err error
				if d, err = s.Save(t.Context(), d.ID, d.Version(), []byte("lowslung: 1\nname: "+n+"\n"), ""); err != nil {
					t.Fatal(explain(err))
				}
			}
			wantSound(t, s)
			conn, err := s.db.Conn(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			behind := []string{"PRAGMA foreign_keys = 0"}
			for _, trigger := range []string{"text_stays", "text_remains", "revision_stays", "revision_remains", "read_with_remains"} {
				behind = append(behind, "DROP TRIGGER "+trigger)
			}
			for _, q := range append(behind, c.damage...) {
				if _, err := conn.ExecContext(t.Context(), q); err != nil {
					t.Fatalf("%s: %v", q, err)
				}
			}
			conn.Close()
			r, err := s.Verify(t.Context())
			if err != nil {
				t.Fatal(explain(err))
			}
			if !strings.Contains(fmt.Sprint(r.Problems), c.want) {
				t.Errorf("found %v, expected %q", r.Problems, c.want)
			}
		})
	}
}
