import { existsSync, rmSync, writeFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { run, which } from './child.mjs';

const SYSTEM_FOLDERS = ['/usr/sbin', '/usr/local/sbin', '/opt/homebrew/sbin', '/usr/local/bin'];
/** Debian asks this file whether a service may start; 101 forbids it. */
const SERVICE_POLICY = '/usr/sbin/policy-rc.d';

/**
 * The Mosquitto broker on this machine and its command that publishes, or undefined where one of them is missing.
 *
 * @returns {{ path: string, publisher: string } | undefined}
 */
export function findMosquitto() {
  const [path, publisher] = ['mosquitto', 'mosquitto_pub'].map((name) => which(name, SYSTEM_FOLDERS));
  return path && publisher ? { path, publisher } : undefined;
}

/**
 * Finds Mosquitto, the foreign broker and publisher that the integration tests speak with, and installs it where that can be done
 * without asking: as root, on a system with apt-get.
 *
 * @returns {Promise<{ path: string, publisher: string } | { fault: string }>} `fault` is a sentence that says what to install
 */
export async function ensureMosquitto() {
  const there = findMosquitto();
  if (there) return there;
  const byHand =
    'the integration tests need the Mosquitto broker and mosquitto_pub: install them (Debian, Ubuntu: apt-get install mosquitto mosquitto-clients; Fedora: dnf install mosquitto; macOS: brew install mosquitto)';
  if (process.getuid?.() !== 0 || !which('apt-get', SYSTEM_FOLDERS))
    return { fault: `Mosquitto is missing; ${byHand} and run the tests again.` };
  console.log('Installing Mosquitto with apt-get …');
  const words = await installWithoutStarting();
  const installed = findMosquitto();
  return installed ?? { fault: `apt-get could not install Mosquitto; ${byHand} and run the tests again. It said:\n${words}` };
}

/** The tests start brokers of their own on free ports; the system's service would only be in the way. */
async function installWithoutStarting() {
  const env = { DEBIAN_FRONTEND: 'noninteractive' };
  const ownPolicy = !existsSync(SERVICE_POLICY);
  if (ownPolicy) writeFileSync(SERVICE_POLICY, '#!/bin/sh\nexit 101\n', { mode: 0o755 });
  try {
    const update = await run('apt-get', ['update', '-q'], { quiet: true, env });
    const install = await run('apt-get', ['install', '-q', '-y', '--no-install-recommends', 'mosquitto', 'mosquitto-clients'], {
      quiet: true,
      env,
    });
    return update.output + install.output;
  } finally {
    if (ownPolicy) rmSync(SERVICE_POLICY);
  }
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const found = await ensureMosquitto();
  if ('fault' in found) {
    console.error(found.fault);
    process.exitCode = 1;
  } else {
    console.log(`Broker to test against: ${found.path}`);
  }
}
