/** What everybody must know of every screen. */
export function Footer() {
  return <footer class="footer">Takeline is not a safety device and stops nothing.</footer>;
}
