package runs

import (
	"context"
	"fmt"
	"io"
	"net"
	"net/url"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// A PostgreSQL of the tests' own, on a free loopback port, begun when the first test asks for it. As it refuses to run as root, root runs it
// as the user postgres. Without it the tests fail, as the other checks against programs from outside do.

type cluster struct {
	url  url.URL // of the database that is always there
	end  io.Closer
	cmd  *exec.Cmd
	path string
	mu   sync.Mutex
	n    int
}

const (
	pgUser     = "club"
	pgPassword = "geheim:/@?#% no"
)

var own = sync.OnceValues(begin)

var began *cluster // when it was

// tool finds a program of PostgreSQL: on the path, or where Debian has it.
func tool(name string) (string, error) {
	if path, err := exec.LookPath(name); err == nil {
		return path, nil
	}
	list, _ := filepath.Glob("/usr/lib/postgresql/*/bin/" + name)
	if len(list) == 0 {
		return "", fmt.Errorf("%s is not installed (on Debian: apt-get install --no-install-recommends postgresql; sh scripts/setup.sh does it)", name)
	}
	return list[len(list)-1], nil
}

// asOther runs a program as the user postgres when we are root.
func asOther(name string, args ...string) *exec.Cmd {
	if os.Getuid() == 0 {
		return exec.Command("runuser", append([]string{"-u", "postgres", "--", name}, args...)...)
	}
	return exec.Command(name, args...)
}

func begin() (*cluster, error) {
	initdb, err := tool("initdb")
	if err != nil {
		return nil, err
	}
	postgres, err := tool("postgres")
	if err != nil {
		return nil, err
	}
	path, err := os.MkdirTemp("", "lowslung-postgres-") // not a test's folder: several tests use it, and another user must get in
	if err != nil {
		return nil, err
	}
	c := &cluster{path: path}
	ok := false
	defer func() {
		if !ok {
			c.stop()
		}
	}()
	if os.Getuid() == 0 {
		u, err := user.Lookup("postgres")
		if err != nil {
			return nil, err
		}
		uid, _ := strconv.Atoi(u.Uid)
		gid, _ := strconv.Atoi(u.Gid)
		if err := os.Chown(path, uid, gid); err != nil {
			return nil, err
		}
	}
	secret := filepath.Join(path, "secret")
	if err := os.WriteFile(secret, []byte(pgPassword+"\n"), 0o644); err != nil {
		return nil, err
	}
	data := filepath.Join(path, "data")
	make := asOther(initdb, "-D", data, "-U", pgUser, "-A", "scram-sha-256", "--pwfile", secret, "-E", "UTF8", "--no-locale", "--no-sync")
	make.Dir = path
	if text, err := make.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("initdb: %w\n%s", err, text)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, err
	}
	port := l.Addr().(*net.TCPAddr).Port
	l.Close()
	// The shell holds on to our end of a pipe: however this process ends, the server ends with it.
	c.cmd = asOther("sh", "-c", `"$@" </dev/null & pid=$!; cat >/dev/null; kill -INT $pid; wait $pid`, "sh",
		postgres, "-D", data, "-p", strconv.Itoa(port), "-c", "listen_addresses=127.0.0.1", "-c", "unix_socket_directories=", "-c", "fsync=off", "-c", "max_connections=200")
	c.cmd.Dir = path
	said, err := os.Create(filepath.Join(path, "log"))
	if err != nil {
		return nil, err
	}
	defer said.Close()
	c.cmd.Stdout, c.cmd.Stderr = said, said
	if c.end, err = c.cmd.StdinPipe(); err != nil {
		return nil, err
	}
	if err := c.cmd.Start(); err != nil {
		return nil, err
	}
	c.url = url.URL{Scheme: "postgres", User: url.UserPassword(pgUser, pgPassword), Host: net.JoinHostPort("127.0.0.1", strconv.Itoa(port)), Path: "/postgres"}
	for end := time.Now().Add(20 * time.Second); ; time.Sleep(50 * time.Millisecond) {
		conn, err := pgx.Connect(context.Background(), c.url.String())
		if err == nil {
			ok, began = true, c
			return c, conn.Close(context.Background())
		}
		if time.Now().After(end) {
			text, _ := os.ReadFile(said.Name())
			return nil, fmt.Errorf("PostgreSQL does not start: %w\n%s", err, text)
		}
	}
}

func (c *cluster) stop() {
	if c.end != nil {
		_ = c.end.Close()
		_ = c.cmd.Wait()
	}
	_ = os.RemoveAll(c.path)
}

// database makes an empty database and gives its address.
func database(t testing.TB) string {
	t.Helper()
	c, err := own()
	if err != nil {
		t.Fatal(err)
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	conn, err := pgx.Connect(context.Background(), c.url.String())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	c.n++
	name := fmt.Sprintf("searches_%d", c.n)
	if _, err := conn.Exec(context.Background(), "CREATE DATABASE "+name); err != nil {
		t.Fatal(err)
	}
	u := c.url
	u.Path = "/" + name
	return u.String()
}

// do runs a statement in a database.
func do(t testing.TB, at, statement string, args ...any) {
	t.Helper()
	conn, err := pgx.Connect(context.Background(), at)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	if _, err := conn.Exec(context.Background(), statement, args...); err != nil {
		t.Fatal(err)
	}
}

// locked keeps everybody from writing into the table of runs until it is released.
func locked(t testing.TB, at string) (release func()) {
	t.Helper()
	conn, err := pgx.Connect(context.Background(), at)
	if err != nil {
		t.Fatal(err)
	}
	tx, err := conn.Begin(context.Background())
	if err == nil {
		_, err = tx.Exec(context.Background(), "LOCK TABLE lowslung_searches.run IN EXCLUSIVE MODE")
	}
	if err != nil {
		t.Fatal(err)
	}
	return func() {
		_ = tx.Rollback(context.Background())
		_ = conn.Close(context.Background())
	}
}
