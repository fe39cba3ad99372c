package cli

import (
	"bytes"
	"crypto/x509"
	"fmt"
	"os"
	"runtime"
	"strconv"
	"strings"

	"meltspan/live"
	"meltspan/trial"
)

// Where user and password of a broker may come from.
const (
	userVariable     = "MELTSPAN_MQTT_USER"
	passwordVariable = "MELTSPAN_MQTT_PASSWORD"
)

// source makes the source that the user names.
func (s *session) source(name string, f *liveFlags, clock *live.Clock) (live.Source, live.Wait, error) {
	broker := strings.Contains(name, "://")
	switch {
	case !broker && len(f.topics) > 0:
		return nil, live.Wait{}, wrong("a broker, such as mqtt://broker.local", "%s has no topics", quoted(name))
	case name == stdinName:
		return &live.Reader{Label: stdinLabel, From: s.in, Clock: clock}, live.SerialWait, nil
	case broker:
		b, err := s.broker(name, f, clock)
		return b, live.BrokerWait, err
	case name == "":
		return nil, live.Wait{}, wrong(liveExample, "the name of the source is empty")
	case f.baud <= 0:
		return nil, live.Wait{}, wrong("such as --baud 9600", "--baud cannot be %d", f.baud)
	}
	return &live.Serial{Port: name, Baud: f.baud, Clock: clock}, live.SerialWait, nil
}

func (s *session) broker(name string, f *liveFlags, clock *live.Clock) (*live.Broker, error) {
	address, err := live.ParseBroker(name)
	if err != nil {
		if strings.Contains(name, "@") {
			name = "that" // the password in it is not to be repeated
		} else {
			name = quoted(name)
		}
		return nil, wrong("mqtt://HOST or mqtts://HOST, with :PORT if need be; user and password by --credentials FILE",
			"%s is no address of a broker: %v", name, err)
	}
	if len(f.topics) == 0 {
		return nil, wrong(`such as --topic "bench/#"`, "a broker needs a topic to hear")
	}
	b := &live.Broker{Address: address, Topics: f.topics, Clock: clock, User: os.Getenv(userVariable), Password: []byte(os.Getenv(passwordVariable))}
	if f.credentials != "" {
		if b.User, b.Password, err = s.readCredentials(f.credentials); err != nil {
			return nil, err
		}
	}
	if len(b.Password) > 0 && !b.Secure() {
		s.note("caution: the password goes over the network unprotected; mqtts:// protects it")
	}
	if f.trust != "" {
		pem, err := os.ReadFile(f.trust)
		if err != nil {
			return nil, wrong("a file that you may read", "cannot read %s: %v", quoted(f.trust), cause(err))
		}
		if b.Roots, err = x509.SystemCertPool(); err != nil {
			b.Roots = x509.NewCertPool()
		}
		if !b.Roots.AppendCertsFromPEM(pem) {
			return nil, wrong("a file that begins with -----BEGIN CERTIFICATE-----", "%s holds no certificate", quoted(f.trust))
		}
	}
	return b, nil
}

// readCredentials reads the file of user and password, and never repeats what
// is in it.
func (s *session) readCredentials(file string) (user string, password []byte, err error) {
	text, err := os.ReadFile(file)
	if err != nil {
		return "", nil, wrong("a file that you may read", "cannot read %s: %v", quoted(file), cause(err))
	}
	if info, err := os.Stat(file); err == nil && runtime.GOOS != "windows" && info.Mode().Perm()&0o077 != 0 {
		s.note("caution: others may read %s; chmod 600 keeps it to yourself", file)
	}
	first, second, found := bytes.Cut(text, []byte("\n"))
	user = strings.TrimSpace(string(first))
	if !found || user == "" {
		return "", nil, wrong("the user in the first line, the password in the second", "%s holds no user and password", quoted(file))
	}
	return user, bytes.TrimRight(second, "\r\n"), nil
}

const rotorExample = `"KEY=times, ms, 2", "KEY=periods, us, 1" or "KEY=counts, 4"`

// parseRotor reads what a user says of a key of pulses.
func parseRotor(text string) (live.Rotor, error) {
	bad := func(format string, args ...any) (live.Rotor, error) {
		return live.Rotor{}, wrong(rotorExample, "%s", "--pulses "+quoted(text)+": "+fmt.Sprintf(format, args...))
	}
	key, rest, ok := strings.Cut(text, "=")
	r := live.Rotor{Key: strings.TrimSpace(key), PerRevolution: 1}
	if !ok || r.Key == "" {
		return bad("no key")
	}
	var parts []string
	for part := range strings.SplitSeq(rest, ",") {
		parts = append(parts, strings.TrimSpace(part))
	}
	form, parts := parts[0], parts[1:]
	switch form {
	case "times":
		r.Form = trial.PulseTime
	case "periods":
		r.Form = trial.PulsePeriod
	case "counts":
		r.Form = trial.PulseCount
	default:
		return bad("%s is neither times, periods nor counts", quoted(form))
	}
	if r.Form != trial.PulseCount {
		if len(parts) == 0 {
			return bad("no unit")
		}
		if r.Tick = map[string]float64{"s": 1, "ms": 1e-3, "us": 1e-6}[parts[0]]; r.Tick == 0 {
			return bad("%s is none of s, ms and us", quoted(parts[0]))
		}
		parts = parts[1:]
	}
	if len(parts) > 1 {
		return bad("too much")
	}
	if len(parts) == 1 {
		n, err := strconv.Atoi(parts[0])
		if err != nil || n < 1 || n > 1000 {
			return bad("there cannot be %s pulses to a revolution", quoted(parts[0]))
		}
		r.PerRevolution = n
	}
	return r, nil
}
