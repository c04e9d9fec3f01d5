/* Hands a file over to the browser, which keeps it where this device keeps what it downloads. */
export function download(name: string, file: Blob): void {
  const address = URL.createObjectURL(file);
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser has begun to read it by then; what was not given back would stay in memory as long as the page.
  setTimeout(() => URL.revokeObjectURL(address));
}
