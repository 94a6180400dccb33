/** What a browser says of where a request comes from. */
export interface RequestOrigin {
  readonly origin: string | undefined;
  readonly host: string | undefined;
  readonly secFetchSite: string | undefined;
}

export type OriginVerdict = 'same-origin' | 'no-browser' | 'other-origin';

/**
 * Whether a request that changes something comes from our own pages (against cross-site request forgery).
 * The site a browser names in `Origin` must be the one it speaks to; `Sec-Fetch-Site` says the same where `Origin` is
 * left out. A request with neither comes from no browser that could be led astray, and carries no cookie by itself.
 */
export function judgeOrigin({ origin, host, secFetchSite }: RequestOrigin): OriginVerdict {
  if (origin !== undefined) return host !== undefined && hostOf(origin) === host.toLowerCase() ? 'same-origin' : 'other-origin';
  if (secFetchSite === undefined) return 'no-browser';
  return secFetchSite === 'same-origin' ? 'same-origin' : 'other-origin';
}

/** Host and port of an origin; undefined for `null` and what is no origin. */
function hostOf(origin: string): string | undefined {
  const [, host] = /^https?:\/\/([^/?#@\s]+)$/i.exec(origin) ?? [];
  return host?.toLowerCase();
}

/** The headers of a request that say where it comes from. */
export function originOf(headers: Readonly<Record<string, string | readonly string[] | undefined>>): RequestOrigin {
  const one = (name: string): string | undefined => {
    const value = headers[name];
    return typeof value === 'string' ? value : undefined;
  };
  return { origin: one('origin'), host: one('host'), secFetchSite: one('sec-fetch-site') };
}
