package runs

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/url"
	"strings"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"
)

// An Address says where a PostgreSQL database is, and as whom to go there. Its text never has the password.
type Address struct {
	config *pgxpool.Config
}

const (
	addressWords = "expected the address of a PostgreSQL database, such as postgres://club@host:5432/searches"
	leastConns   = 4 // a lock, statements, jobs and the word that one has come
)

// ParseAddress reads an address. What it leaves out is taken from the usual places: PGPASSWORD and the other variables of PostgreSQL's own
// clients, and the file .pgpass. An error names nothing of the text but its beginning, as it may hold a password.
func ParseAddress(text string) (*Address, error) {
	text = strings.TrimSpace(text)
	scheme, _, ok := strings.Cut(text, "://")
	switch {
	case text == "":
		return nil, errors.New("found nothing, " + addressWords)
	case !ok:
		return nil, errors.New("found an address that does not begin with postgres://, " + addressWords)
	case scheme != "postgres" && scheme != "postgresql":
		return nil, fmt.Errorf("found an address that begins with %q, %s", scheme+"://", addressWords)
	}
	u, err := url.Parse(text)
	if err != nil {
		return nil, errors.New("found an address that cannot be read, " + addressWords + "; in a user's name or a password write @ as %40, : as %3A, / as %2F, ? as %3F, # as %23 and % as %25")
	}
	if strings.Trim(u.Path, "/") == "" && !u.Query().Has("dbname") && !u.Query().Has("database") {
		return nil, errors.New("found an address that names no database, " + addressWords)
	}
	c, err := pgxpool.ParseConfig(text)
	if err != nil {
		return nil, fmt.Errorf("found an address that cannot be used%s, %s", because(err), addressWords)
	}
	if c.ConnConfig.ConnectTimeout == 0 {
		c.ConnConfig.ConnectTimeout = pgConnects
	}
	c.MaxConns = max(c.MaxConns, leastConns)
	c.ConnConfig.RuntimeParams["search_path"] = pgSchema
	if c.ConnConfig.RuntimeParams["application_name"] == "" {
		c.ConnConfig.RuntimeParams["application_name"] = "lowslung"
	}
	return &Address{c}, nil
}

// because tells what pgx says of an address, without the address.
func because(err error) string {
	for {
		next := errors.Unwrap(err)
		if next == nil {
			break
		}
		err = next
	}
	if e := new(pgconn.ParseConfigError); errors.As(err, &e) || strings.Contains(err.Error(), "://") {
		return ""
	}
	return " (" + err.Error() + ")"
}

// String is the address without user and password.
func (a *Address) String() string {
	c := a.config.ConnConfig
	u := url.URL{Scheme: "postgres", Host: net.JoinHostPort(c.Host, fmt.Sprint(c.Port)), Path: "/" + c.Database}
	if strings.HasPrefix(c.Host, "/") { // a socket's folder
		u.Host, u.RawQuery = "", "host="+c.Host
	}
	return u.String()
}

// explained says what is wrong with a database in words that help; other errors stay as they are.
func (a *Address) explained(err error) error {
	if a == nil || err == nil || errors.As(err, new(*Error)) || errors.Is(err, context.Canceled) {
		return err
	}
	say := func(code Code, format string, args ...any) error {
		return &Error{code, fmt.Sprintf("the database %s ", a) + fmt.Sprintf(format, args...)}
	}
	user, database := a.config.ConnConfig.User, a.config.ConnConfig.Database
	if e := new(pgconn.PgError); errors.As(err, &e) {
		switch e.Code {
		case "28P01", "28000": // invalid_password, invalid_authorization_specification
			return say(Away, "does not let the user %q in: %s. Check the name and the password (in the address, in PGPASSWORD or in the file .pgpass)", user, e.Message)
		case "3D000": // invalid_catalog_name
			return say(Away, "is not there: its server knows no database %q. Make it (createdb %s), or mend the address", database, database)
		case "42501": // insufficient_privilege
			return say(Away, "lets the user %q in but not do what is needed: %s. Its owner can say: GRANT CREATE ON DATABASE %s TO %s", user, e.Message, database, user)
		case "42704": // undefined_object
			return say(Away, "does not know what the address asks for: %s. Check what stands behind the ? of the address", e.Message)
		case "53300": // too_many_connections
			return say(Away, "has no connection left: %s. Let fewer workers use it, or raise max_connections", e.Message)
		case "57P01", "57P02", "57P03": // admin_shutdown, crash_shutdown, cannot_connect_now
			return say(Away, "is just being started or stopped: %s. Try again in a moment", e.Message)
		}
		return err
	}
	cause := ""
	if e := new(net.DNSError); errors.As(err, &e) {
		cause = "nobody knows a host of the name " + e.Name
	} else if e := new(net.OpError); errors.As(err, &e) {
		cause = e.Err.Error()
	} else if pgconn.Timeout(err) || errors.Is(err, context.DeadlineExceeded) {
		cause = "no answer in time"
	} else if e := new(pgconn.ConnectError); errors.As(err, &e) {
		if cause = e.Unwrap().Error(); strings.ContainsRune(cause, '\n') {
			cause = cause[:strings.IndexByte(cause, '\n')]
		}
	} else if errors.Is(err, pgconn.ErrConnClosed) || errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		cause = "the connection broke"
	}
	if cause == "" {
		return err
	}
	return say(Away, "does not answer: %s. Check that PostgreSQL runs there and can be reached from here, or mend the address", cause)
}
