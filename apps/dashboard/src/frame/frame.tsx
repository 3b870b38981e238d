import type { ReactNode } from 'react'
import { Link, useRoute } from 'wouter'
import styles from './frame.module.css'
import { useLive } from './live-context.ts'
import { NewsSlip } from './news-slip.tsx'

const connectionWords = {
  connecting: 'Connecting …',
  live: 'Live: changes show by themselves',
  lost: 'Not connected: changes do not show',
} as const

function ConnectionNote() {
  const { connection } = useLive()
  return (
    <p className={styles.connection} data-state={connection}>
      <span aria-hidden="true" className={styles.connectionMark} />
      {connectionWords[connection]}
    </p>
  )
}

function Tab({ href, children }: { href: string; children: ReactNode }) {
  const [here] = useRoute(href)
  return (
    <Link href={href} className={styles.tab} aria-current={here ? 'page' : undefined}>
      {children}
    </Link>
  )
}

/** What stands around every page: the name, the two ways to go, the state of the connection, and news. */
export const Frame = ({ children }: { children: ReactNode }) => (
  <>
    <a href="#page" className={styles.skip}>
      Skip to the page
    </a>
    <header className={styles.head}>
      <p className={styles.name}>
        Boardwright <span>the desk</span>
      </p>
      <nav aria-label="Pages" className={styles.tabs}>
        <Tab href="/">Units</Tab>
        <Tab href="/measure">Measure</Tab>
        <Tab href="/test">Test from recordings</Tab>
        <Tab href="/rig">Rig</Tab>
      </nav>
      <ConnectionNote />
    </header>
    <main id="page" className={styles.page} tabIndex={-1}>
      {children}
    </main>
    <NewsSlip />
  </>
)
