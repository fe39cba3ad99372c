package live

import (
	"context"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/hex"
	"errors"
	"fmt"
	"net"
	"net/url"
	"sync"
	"time"

	"github.com/eclipse/paho.golang/packets"
	"github.com/eclipse/paho.golang/paho"
)

// Broker is an MQTT 5 broker (OASIS MQTT Version 5.0).
type Broker struct {
	Address  *url.URL // by ParseBroker
	Topics   []string // filters: bench/+/temperature, bench/#
	User     string
	Password []byte
	Roots    *x509.CertPool // whom to trust for mqtts; nil: whom the system trusts
	Clock    *Clock
}

// BrokerWait spares a broker that comes up again.
var BrokerWait = Wait{Least: 500 * time.Millisecond, Most: 15 * time.Second}

const (
	brokerPatience = 10 * time.Second // for each step of connecting
	keepAlive      = 10               // s; a connection that is dead is found within twice as long
	longestPayload = longestLine
)

// ParseBroker reads mqtt://host, mqtt://host:1883 or mqtts://host:8883. An
// address never holds the password: it would be seen in the list of processes.
func ParseBroker(text string) (*url.URL, error) {
	u, err := url.Parse(text)
	switch {
	case err != nil:
		return nil, errors.New("it is no address")
	case u.User != nil:
		return nil, errors.New("name and password do not belong into the address, where others can read them")
	case u.Scheme != "mqtt" && u.Scheme != "mqtts":
		return nil, errors.New("it begins neither with mqtt:// nor with mqtts://")
	case u.Hostname() == "":
		return nil, errors.New("it names no host")
	case u.Path != "" && u.Path != "/" || u.RawQuery != "" || u.Fragment != "":
		return nil, errors.New("something follows host and port; topics are named apart")
	}
	if u.Port() == "" {
		u.Host = net.JoinHostPort(u.Hostname(), map[string]string{"mqtt": "1883", "mqtts": "8883"}[u.Scheme])
	}
	u.Path = ""
	return u, nil
}

// Secure reports whether what goes over the network cannot be read there.
func (b *Broker) Secure() bool {
	if b.Address.Scheme == "mqtts" || b.Address.Hostname() == "localhost" {
		return true
	}
	ip := net.ParseIP(b.Address.Hostname())
	return ip != nil && ip.IsLoopback()
}

// Name is the address.
func (b *Broker) Name() string { return b.Address.String() }

func (b *Broker) dial(ctx context.Context) (net.Conn, error) {
	d := &net.Dialer{Timeout: brokerPatience}
	if b.Address.Scheme == "mqtt" {
		return d.DialContext(ctx, "tcp", b.Address.Host)
	}
	secure := &tls.Dialer{NetDialer: d, Config: &tls.Config{RootCAs: b.Roots, MinVersion: tls.VersionTLS12}}
	conn, err := secure.DialContext(ctx, "tcp", b.Address.Host)
	if err != nil {
		return nil, err
	}
	return packets.NewThreadSafeConn(conn), nil
}

// Session connects and subscribes. Messages that the broker kept from earlier
// are not asked for: they would bear a wrong time.
func (b *Broker) Session(ctx context.Context, up func(), hear func(Message)) error {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	limited, done := context.WithTimeout(ctx, brokerPatience)
	defer done()
	conn, err := b.dial(limited)
	if err != nil {
		return fmt.Errorf("cannot reach the broker %s: %w", b.Name(), dialCause(err))
	}
	defer conn.Close()
	broken := newOnce()
	fresh := true
	client := paho.NewClient(paho.ClientConfig{
		Conn:          conn,
		PacketTimeout: brokerPatience,
		OnPublishReceived: []func(paho.PublishReceived) (bool, error){func(r paho.PublishReceived) (bool, error) {
			text := r.Packet.Payload
			if len(text) > longestPayload {
				text = text[:longestPayload]
			}
			hear(Message{Time: b.Clock.Now(), Topic: r.Packet.Topic, Text: string(text), Fresh: fresh})
			fresh = false
			return true, nil
		}},
		OnClientError:      func(err error) { broken.set(dialCause(err)) },
		OnServerDisconnect: func(d *paho.Disconnect) { broken.set(fmt.Errorf("the broker closed it, code 0x%02x", d.ReasonCode)) },
	})
	ack, err := client.Connect(limited, &paho.Connect{
		ClientID: clientID(), CleanStart: true, KeepAlive: keepAlive,
		Username: b.User, UsernameFlag: b.User != "", Password: b.Password, PasswordFlag: len(b.Password) > 0,
	})
	if err != nil {
		return fmt.Errorf("the broker %s takes no connection: %w", b.Name(), refusal(ack, err))
	}
	// Ends every routine of the client's, whatever has become of the connection.
	defer func() {
		client.Disconnect(&paho.Disconnect{ReasonCode: 0})
		conn.Close()
		<-client.Done()
	}()
	subscribe := &paho.Subscribe{}
	for _, topic := range b.Topics {
		subscribe.Subscriptions = append(subscribe.Subscriptions, paho.SubscribeOptions{Topic: topic, QoS: 1, RetainHandling: 2})
	}
	if got, err := client.Subscribe(limited, subscribe); err != nil {
		return fmt.Errorf("the broker %s refuses the topics: %w", b.Name(), subscription(b.Topics, got, err))
	}
	up()
	select {
	case <-ctx.Done():
		return nil
	case <-broken.done:
		return fmt.Errorf("the connection to %s broke: %w", b.Name(), broken.err)
	}
}

// once keeps the first error.
type once struct {
	sync.Once
	done chan struct{}
	err  error
}

func newOnce() *once { return &once{done: make(chan struct{})} }

func (o *once) set(err error) {
	o.Do(func() {
		o.err = err
		close(o.done)
	})
}

// clientID makes up a name of at most 23 letters, as every broker must take
// (MQTT 5.0, 3.1.3.1).
func clientID() string {
	var b [6]byte
	rand.Read(b[:]) // never fails
	return "meltspan" + hex.EncodeToString(b[:])
}

// refusal words a refused connection (MQTT 5.0, table 3-1).
func refusal(ack *paho.Connack, err error) error {
	if ack == nil {
		return dialCause(err)
	}
	switch ack.ReasonCode {
	case 0x84, 0x01:
		return errors.New("it does not speak version 5 of MQTT")
	case 0x86, 0x04:
		return errors.New("wrong user name or password")
	case 0x87, 0x05:
		return errors.New("this user may not connect")
	case 0x88, 0x89:
		return errors.New("it is not available, or busy")
	}
	return fmt.Errorf("reason 0x%02x", ack.ReasonCode)
}

func subscription(topics []string, got *paho.Suback, err error) error {
	if got != nil {
		for i, code := range got.Reasons {
			if code >= 0x80 && i < len(topics) {
				return fmt.Errorf("%q, reason 0x%02x", topics[i], code)
			}
		}
	}
	return dialCause(err)
}

// dialCause strips what the user knows already from an error of the network.
func dialCause(err error) error {
	var op *net.OpError
	var dns *net.DNSError
	var unknown x509.UnknownAuthorityError
	var name x509.HostnameError
	switch {
	case errors.As(err, &dns):
		return errors.New("there is no host of that name")
	case errors.As(err, &unknown):
		return errors.New("its certificate is signed by nobody known here; --trust FILE names a certificate to trust")
	case errors.As(err, &name):
		return fmt.Errorf("its certificate is not for this host: %w", name)
	case errors.As(err, &op):
		return op.Err
	}
	return err
}
