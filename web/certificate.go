package web

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"fmt"
	"math/big"
	"net"
	"os"
	"slices"
	"strings"
	"time"
)

// certificateTime is how long a certificate of our own holds; browsers refuse
// those for much more than a year.
const certificateTime = 365 * 24 * time.Hour

// SelfSigned makes a certificate for this machine's names and addresses, with
// its private key, both as PEM in one text. Nobody vouches for it: who visits
// compares its fingerprint.
func SelfSigned(hosts []string, now time.Time) ([]byte, error) {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, err
	}
	serial, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 127)) // RFC 5280, 4.1.2.2: positive, 20 octets at most
	if err != nil {
		return nil, err
	}
	c := x509.Certificate{
		SerialNumber: serial, Subject: pkix.Name{CommonName: "Meltspan"},
		NotBefore: now.Add(-time.Hour), NotAfter: now.Add(certificateTime), // clocks differ
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}, BasicConstraintsValid: true,
	}
	for _, host := range hosts {
		if ip := net.ParseIP(host); ip != nil {
			c.IPAddresses = append(c.IPAddresses, ip)
		} else {
			c.DNSNames = append(c.DNSNames, host)
		}
	}
	certificate, err := x509.CreateCertificate(rand.Reader, &c, &c, &key.PublicKey, key)
	if err != nil {
		return nil, err
	}
	private, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	for _, block := range []pem.Block{{Type: "CERTIFICATE", Bytes: certificate}, {Type: "PRIVATE KEY", Bytes: private}} {
		if err := pem.Encode(&out, &block); err != nil {
			return nil, err
		}
	}
	return out.Bytes(), nil
}

// Holds reports whether a certificate still holds for a week, for all of these
// names and addresses.
func Holds(c *tls.Certificate, hosts []string, now time.Time) bool {
	return c.Leaf != nil && now.After(c.Leaf.NotBefore) && now.Add(7*24*time.Hour).Before(c.Leaf.NotAfter) &&
		!slices.ContainsFunc(hosts, func(host string) bool { return c.Leaf.VerifyHostname(host) != nil })
}

// Fingerprint is the SHA-256 of a certificate, as browsers show it.
func Fingerprint(c *tls.Certificate) string {
	sum := sha256.Sum256(c.Certificate[0])
	return strings.ReplaceAll(fmt.Sprintf("% X", sum), " ", ":")
}

// Hosts are the names and addresses under which a page is reached that listens
// on an address: those of the machine. Where it listens on all, those of version 6
// are left out: machines change them daily, and the certificate would change too.
func Hosts(address net.IP) []string {
	hosts := []string{"localhost"}
	if name, err := os.Hostname(); err == nil && name != "" && !strings.EqualFold(name, "localhost") {
		hosts = append(hosts, name, name+".local")
	}
	if !address.IsUnspecified() {
		return append(hosts, address.String())
	}
	known, err := net.InterfaceAddrs()
	if err != nil {
		return hosts // its names remain
	}
	for _, a := range known {
		if n, ok := a.(*net.IPNet); ok && n.IP.To4() != nil && !n.IP.IsLinkLocalUnicast() {
			hosts = append(hosts, n.IP.String())
		}
	}
	return hosts
}
