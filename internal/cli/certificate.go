package cli

import (
	"crypto/tls"
	"errors"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"time"

	"meltspan/web"
)

// certificate is the one named, else our own: the one kept for this user while
// it holds, so that who trusted it once need not compare again.
func (s *session) certificate(ip net.IP, f *pageFlags) (*tls.Certificate, error) {
	if f.certificate != "" {
		c, err := tls.LoadX509KeyPair(f.certificate, f.key)
		if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrPermission) {
			return nil, wrong("files that you may read", "cannot read the certificate or its key: %v", err)
		} else if err != nil {
			return nil, wrong("a certificate and its private key, both in PEM", "%s and %s cannot be used: %v", quoted(f.certificate), quoted(f.key), err)
		}
		return &c, nil
	}
	hosts, now := web.Hosts(ip), time.Now()
	name, err := certificateFile()
	if err == nil {
		if text, err := os.ReadFile(name); err == nil {
			if c, err := tls.X509KeyPair(text, text); err == nil && web.Holds(&c, hosts, now) {
				return &c, nil
			}
		}
	}
	text, makeErr := web.SelfSigned(hosts, now)
	if makeErr != nil {
		return nil, makeErr
	}
	if err == nil {
		err = writeFileMode(name, text, 0o600)
	}
	if err != nil {
		s.note("The certificate cannot be kept, and will be another one next time: %v", err)
	}
	c, err := tls.X509KeyPair(text, text)
	return &c, err
}

// certificateFile is where a certificate of our own is kept, with its key: in
// the user's own settings, not in the project, which others may be handed.
func certificateFile() (string, error) {
	folder, err := os.UserConfigDir()
	if err != nil {
		return "", err
	}
	folder = filepath.Join(folder, "meltspan")
	return filepath.Join(folder, "page-certificate.pem"), os.MkdirAll(folder, 0o700)
}
