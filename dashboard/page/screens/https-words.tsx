/* How this page came to the device, and what HTTPS would give. Part of the settings; it changes nothing. */
export function HttpsWords() {
  return (
    <section aria-labelledby="https-title">
      <h2 id="https-title">HTTPS</h2>
      <p>
        {location.protocol === 'https:'
          ? 'This page came over HTTPS: Web Push works, and the page can be installed on a phone.'
          : 'This page came over plain http. Web Push needs HTTPS; a webhook and e‑mail serve without it.'}
      </p>
      <p>
        <a class="target" href="/trust">
          How to come by HTTPS, and let a phone trust it
        </a>
      </p>
    </section>
  );
}
