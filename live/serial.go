package live

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"syscall"
	"time"

	"go.bug.st/serial"
)

// Serial is a serial port that gives lines.
type Serial struct {
	Port  string // /dev/ttyUSB0, COM3
	Baud  int    // bits per second
	Clock *Clock
}

// DefaultBaud is what small boards are set to, most often (common practice).
const DefaultBaud = 115200

// SerialWait suits a plug that is put back by hand.
var SerialWait = Wait{Least: 250 * time.Millisecond, Most: 4 * time.Second}

// Ports names the serial ports there are.
func Ports() ([]string, error) {
	ports, err := serial.GetPortsList()
	slices.Sort(ports)
	return ports, err
}

// Name is that of the port.
func (s *Serial) Name() string { return s.Port }

// pollEvery bounds how long a read waits, and so how long the end of the
// context may go unnoticed.
const pollEvery = 200 * time.Millisecond

// Session opens the port with 8 data bits, no parity, one stop bit.
func (s *Serial) Session(ctx context.Context, up func(), hear func(Message)) error {
	port, err := serial.Open(s.Port, &serial.Mode{BaudRate: s.Baud, DataBits: 8, Parity: serial.NoParity, StopBits: serial.OneStopBit})
	if err != nil {
		return fmt.Errorf("cannot open the serial port %s: %w", s.Port, portCause(err))
	}
	defer port.Close()
	if err := port.SetReadTimeout(pollEvery); err != nil {
		return fmt.Errorf("cannot set up the serial port %s: %w", s.Port, portCause(err))
	}
	up()
	lines := newSplitter(s.Clock, false, hear)
	chunk := make([]byte, 4096)
	for ctx.Err() == nil {
		n, err := port.Read(chunk)
		lines.add(chunk[:n])
		if err != nil {
			return fmt.Errorf("the serial port %s is gone: %w", s.Port, portCause(err))
		}
	}
	return nil
}

// ErrPort is the error of a port that is not there.
var ErrPort = errors.New("there is no such port")

// portCause words what the library says.
func portCause(err error) error {
	var known *serial.PortError
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, syscall.ENOENT) {
		return ErrPort
	}
	if errors.As(err, &known) {
		switch known.Code() {
		case serial.PortNotFound:
			return ErrPort
		case serial.PortBusy:
			return errors.New("another program holds it")
		case serial.PermissionDenied:
			return errors.New("permission denied; on Linux, the user must belong to the group of the port, often dialout")
		case serial.InvalidSerialPort:
			return errors.New("it is no serial port")
		case serial.InvalidSpeed:
			return errors.New("it has no such rate")
		case serial.PortClosed:
			return errors.New("unplugged, or the other end closed it")
		}
	}
	return errors.New(strings.TrimSpace(err.Error()))
}
